//! Rules about raising the bell.

pub mod no_time;
pub mod not_lowered;
pub mod stopped;
