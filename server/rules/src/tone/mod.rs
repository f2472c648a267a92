//! Rules about how the tone is made.

pub mod cannot_speak;
