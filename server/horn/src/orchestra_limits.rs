//! From when on a part as a whole, or its place among the others, is a fault. What the faults are is published; where
//! they begin nobody has published, so that every number here is chosen.

use theory::{Letter, Seconds};

use crate::compass::Height;
use crate::source::{Source, Sourced};

const fn chosen<T>(value: T) -> Sourced<T> {
    Sourced::new(value, Source::ProjectChoice)
}

/// Below which note a part lives low: C4, the bottom of the notes of greatest expression.
#[must_use]
pub const fn lives_low_below() -> Sourced<Height> {
    chosen(Height::new(Letter::C, 0, 4))
}

/// How much of its playing, in percent, lies low in a part that lives low.
#[must_use]
pub const fn lives_low_share() -> Sourced<f64> {
    chosen(75.0)
}

/// How many notes a part must have before it is judged as a whole.
#[must_use]
pub const fn notes_of_a_whole_part() -> Sourced<f64> {
    chosen(48.0)
}

/// How many notes in one minute are too many for a horn to sound well.
#[must_use]
pub const fn fullest_minute() -> Sourced<f64> {
    chosen(300.0)
}

/// In how many of the bars it plays in, in percent, a part without anything of its own comes in after the first beat.
#[must_use]
pub const fn after_beats_share() -> Sourced<f64> {
    chosen(95.0)
}

/// How many rips in a minute are no longer an effect.
#[must_use]
pub const fn rips_in_a_minute() -> Sourced<f64> {
    chosen(6.0)
}

/// For how long a horn may follow the first trumpet or clarinet high up.
#[must_use]
pub const fn follows_high_for() -> Sourced<Seconds> {
    chosen(Seconds(20.0))
}

/// From which note up following a trumpet or clarinet is high: half of the notes at least lie there.
#[must_use]
pub const fn follows_high_from() -> Sourced<Height> {
    chosen(Height::new(Letter::E, 0, 5))
}

/// For how long a horn may play what others drown in unison.
#[must_use]
pub const fn drowned_for() -> Sourced<Seconds> {
    chosen(Seconds(10.0))
}

/// How many semitones may lie between neighbours of a chord of horns.
#[must_use]
pub const fn widest_gap_in_a_chord() -> Sourced<f64> {
    chosen(12.0)
}

/// Below which note thirds growl, as written for horn in F.
#[must_use]
pub const fn thirds_growl_below() -> Sourced<Height> {
    chosen(Height::new(Letter::G, 0, 3))
}

/// How many notes a line must have to be judged among the others: fewer are no tune, and a colour on fewer is an accent.
#[must_use]
pub const fn notes_of_a_line() -> Sourced<f64> {
    chosen(3.0)
}

/// How long before a line its own dynamic may stand, in quarter notes: what was marked long before, as old copies leave
/// it, says too little of a new beginning.
#[must_use]
pub const fn dynamic_stays_fresh() -> Sourced<f64> {
    chosen(16.0)
}

/// How many bars of rest end a stretch of playing together with others.
#[must_use]
pub const fn rest_that_ends_a_doubling() -> Sourced<usize> {
    chosen(2)
}

/// How many chords in a row are a way of writing, and no accident.
#[must_use]
pub const fn chords_in_a_row() -> Sourced<f64> {
    chosen(3.0)
}
