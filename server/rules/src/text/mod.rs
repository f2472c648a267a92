//! Rules about the text itself.

pub mod lesson;
pub mod unknown_ignore;
pub mod unreadable;
pub mod unused_ignore;
