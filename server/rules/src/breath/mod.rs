//! Rules about breathing.

pub mod no_place;
