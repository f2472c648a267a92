//! Rules about horns without valves.

pub mod closed_note;
pub mod crook_change;
