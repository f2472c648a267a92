//! Rules about rips: fast slurs up or down the harmonic series.

mod elsewhere;

pub mod downward;
pub mod off_series;
pub mod too_fast;
pub mod too_few;
pub mod too_many;
pub mod unmarked;
