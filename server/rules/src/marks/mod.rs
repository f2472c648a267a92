//! Rules about the words and signs over the staff.

pub mod language_mix;
pub mod vague;
