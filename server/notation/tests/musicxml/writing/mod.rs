//! Writing intents: what must sound the same does, what must move moves, and nothing else is touched.

mod ear;
mod marks;
mod pitches;
mod real_scores;
mod records;
mod signatures;
