//! Rules about how high and how low a part lies.

pub mod edge;
pub mod soft_high;
pub mod too_high;
pub mod too_low;
pub mod weak_low;
pub mod wrong_seat;
