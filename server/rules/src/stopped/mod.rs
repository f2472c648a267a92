//! Rules about hand-stopping.

mod passage;

pub mod mark_clash;
pub mod no_open;
pub mod too_low;
