//! Rules about hand-stopping.

mod passage;

pub mod mark_clash;
pub mod needless_open;
pub mod no_open;
pub mod no_time;
pub mod single_b_flat;
pub mod tied_into;
pub mod too_low;
pub mod unreachable;
