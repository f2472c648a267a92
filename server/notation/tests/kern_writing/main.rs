//! Writing intents into invented Humdrum scores: what must sound the same does, what must move moves, and no other
//! spine is touched.
#![expect(
    clippy::unwrap_used,
    clippy::panic,
    reason = "test helpers fail loudly and tell their counts"
)]

mod ear;
mod maker;
mod marks;
mod pitches;
mod records;
mod rereading;
mod signatures;
#[path = "../shared/silencing.rs"]
mod silencing;
