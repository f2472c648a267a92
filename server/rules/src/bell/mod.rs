//! Rules about raising the bell.

pub mod no_time;
