//! What a player can hold on to while waiting for an entry. That cues are wanted is common practice; nobody has published
//! numbers, so that every one here is chosen.

use std::ops::RangeInclusive;

use theory::{Letter, Quarters};

use crate::carrying::Loudness;
use crate::compass::Height;
use crate::dynamics::Dynamic;
use crate::orchestra_instrument::Family;
use crate::source::{Source, Sourced};

/// How long before an entry a cue is looked for: two bars of four quarter notes.
#[must_use]
pub const fn cue_window() -> Sourced<Quarters> {
    Sourced::new(Quarters::whole(8), Source::ProjectChoice)
}

/// How much of that time, from 0 to 1, a line must sound to be held on to.
#[must_use]
pub const fn cue_share() -> Sourced<f64> {
    Sourced::new(0.5, Source::ProjectChoice)
}

/// Where a horn player reads a cue easily: on the five lines or near them.
#[must_use]
pub const fn cue_heights() -> Sourced<RangeInclusive<Height>> {
    let heights = Height::new(Letter::C, 0, 4)..=Height::new(Letter::A, 0, 5);
    Sourced::new(heights, Source::ProjectChoice)
}

/// How far from there a cue's notes may lie: no more than three ledger lines off the staff.
#[must_use]
pub const fn cue_reach() -> Sourced<RangeInclusive<Height>> {
    let heights = Height::new(Letter::F, 0, 3)..=Height::new(Letter::E, 0, 6);
    Sourced::new(heights, Source::ProjectChoice)
}

/// With what force a line is well heard: that of a woodwind instrument in forte.
#[must_use]
pub fn force_that_is_heard() -> Sourced<f64> {
    let force = Family::Woodwind.force(Loudness::of(Dynamic::F));
    Sourced::new(force, Source::ProjectChoice)
}
