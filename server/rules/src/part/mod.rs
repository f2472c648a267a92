//! Rules about the part as a page on the stand.

pub mod house_name;
pub mod lives_low;
pub mod name;
pub mod no_cue;
pub mod page_turn;
pub mod too_empty;
pub mod too_full;
