//! Rules about how a line goes for lips, tongue and fingers.

mod run;

pub mod awkward_valves;
pub mod cold_high;
pub mod leap;
pub mod low_agility;
pub mod tongue_speed;
pub mod tremolo;
pub mod trill;
pub mod wide_slur;
