//! Rules about the text itself.

pub mod lesson;
pub mod unreadable;
