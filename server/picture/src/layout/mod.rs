//! Where everything lies: heads beside their stems, columns in their bars, bars on their lines.

pub(crate) mod columns;
pub(crate) mod lines;
pub(crate) mod stems;
