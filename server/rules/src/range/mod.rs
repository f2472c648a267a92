//! Rules about how high and how low a part lies.

pub mod too_high;
pub mod too_low;
pub mod weak_low;
