//! Rules about rips: fast slurs up or down the harmonic series.

pub mod off_series;
pub mod too_few;
