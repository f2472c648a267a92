//! Rules about the part as a page on the stand.

pub mod house_name;
pub mod name;
pub mod no_cue;
