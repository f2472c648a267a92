//! Rules about the horns together.

pub mod balance;
pub mod crossing;
pub mod pairing;
pub mod unclear_unison;
