//! How fast a rip runs through its partials.

use theory::Seconds;

use crate::source::{Source, Sourced};

/// The time each partial on the way of a rip needs to be heard as one.
///
/// No published figure was found; chosen at half the time a note of the measured whole-step lip trill takes
/// (Iltis et al., 2017: 11.9 notes a second), since a rip only brushes its notes.
#[must_use]
pub const fn time_for_ripped_partial() -> Sourced<Seconds> {
    Sourced::new(Seconds(0.04), Source::ProjectChoice)
}

/// The time the note a rip leaves must stand before the rip begins. Chosen; no source gives a number.
#[must_use]
pub const fn time_before_rip() -> Sourced<Seconds> {
    Sourced::new(Seconds(0.12), Source::ProjectChoice)
}
