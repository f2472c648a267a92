//! Writing intents into invented tunes: what must sound the same does, what must move moves, and nothing else is touched.
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
mod signatures;
#[path = "../shared/silencing.rs"]
mod silencing;
