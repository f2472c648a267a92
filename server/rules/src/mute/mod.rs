//! Rules about the mute.

mod by_hand;
mod change;

pub mod already;
pub mod no_time;
pub mod not_removed;
pub mod other_kind;
