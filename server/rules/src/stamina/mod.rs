//! Rules about the endurance of the lip.

pub mod high_too_long;
pub mod no_rest;
mod passed;
