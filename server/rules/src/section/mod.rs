//! Rules about the horns together.

pub mod balance;
pub mod chord_for_one;
pub mod crossing;
pub mod pairing;
pub mod unclear_unison;
pub mod voicing;
pub mod wrong_players;
