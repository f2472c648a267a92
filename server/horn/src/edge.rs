//! How often a part may touch the limits of its players.

use theory::Seconds;

use crate::source::{Source, Sourced};

/// How many semitones from a limit count as near it. Chosen; no source gives a number.
#[must_use]
pub const fn near_a_limit() -> Sourced<f64> {
    Sourced::new(1.0, Source::ProjectChoice)
}

/// How many attacks near one limit are too many within [`edge_window`]. Chosen.
#[must_use]
pub const fn edge_attacks() -> Sourced<f64> {
    Sourced::new(8.0, Source::ProjectChoice)
}

/// The time over which attacks near a limit are counted. Chosen.
#[must_use]
pub const fn edge_window() -> Sourced<Seconds> {
    Sourced::new(Seconds(60.0), Source::ProjectChoice)
}
