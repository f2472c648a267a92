//! Rules about the text itself.

pub mod unreadable;
