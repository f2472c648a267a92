//! What makes a line hard: leaps, cold entries, tonguing, speed low down.

use theory::{Letter, Seconds};

use crate::compass::{Height, Level};
use crate::source::{Source, Sourced};

/// The leap from which a note high up is treacherous to reach, in semitones: a minor seventh.
#[must_use]
pub const fn wide_leap() -> Sourced<f64> {
    Sourced::new(
        10.0,
        Source::Published {
            author: "Goss",
            title: "Horns: lyrical character, Orchestration Online",
            year: "undated",
            place: "",
        },
    )
}

/// Where leaps begin to be treacherous: the first note above the staff.
///
/// "Above the staff" is the published word; there the partials lie a tone apart or closer on either side.
#[must_use]
pub const fn leap_from() -> Sourced<Height> {
    Sourced::new(Height::new(Letter::G, 0, 5), wide_leap().source)
}

/// The time to the next note that makes any leap safe: the ear can hear the note before it is played. Chosen.
#[must_use]
pub const fn time_to_prepare_leap() -> Sourced<Seconds> {
    Sourced::new(Seconds(0.4), Source::ProjectChoice)
}

/// The rest after which lips and horn are cold. Chosen; no source gives a number.
#[must_use]
pub const fn cold_after() -> Sourced<Seconds> {
    Sourced::new(Seconds(90.0), Source::ProjectChoice)
}

/// The note from which an entry is high for cold lips. Chosen; no source gives a number.
#[must_use]
pub fn cold_from(level: Level) -> Sourced<Height> {
    let height = level.pick(
        Height::new(Letter::D, 0, 5),
        Height::new(Letter::G, 0, 5),
        Height::new(Letter::A, 0, 5),
    );
    Sourced::new(height, Source::ProjectChoice)
}

/// The fastest single tonguing to ask for, in notes a second.
///
/// No figure for the horn was found. The professional's is the speed trumpet players practise towards
/// (sixteenths at 120 quarter notes a minute), which makes it a choice.
#[must_use]
pub fn single_tongue(level: Level) -> Sourced<f64> {
    Sourced::new(level.pick(5.0, 6.5, 8.0), Source::ProjectChoice)
}

/// The fastest double tonguing to ask for, in notes a second. Chosen; students may not have learnt it.
#[must_use]
pub fn double_tongue(level: Level) -> Sourced<f64> {
    Sourced::new(level.pick(6.0, 8.5, 12.0), Source::ProjectChoice)
}

/// How many notes in a row make tonguing a matter of stamina: fewer are got through. Chosen.
#[must_use]
pub const fn tongued_run() -> Sourced<f64> {
    Sourced::new(8.0, Source::ProjectChoice)
}

/// Below this note the horn is slow to speak. That it has little mobility stands in Rimsky-Korsakov, Principles
/// of Orchestration (1922), p. 24; no source gives a number, and these are chosen.
#[must_use]
pub fn slow_below(level: Level) -> Sourced<Height> {
    let height = level.pick(
        Height::new(Letter::C, 0, 4),
        Height::new(Letter::G, 0, 3),
        Height::new(Letter::D, 0, 3),
    );
    Sourced::new(height, Source::ProjectChoice)
}

/// The fastest notes to ask for down there, in notes a second. Chosen.
#[must_use]
pub fn fastest_low(level: Level) -> Sourced<f64> {
    Sourced::new(level.pick(3.0, 4.0, 5.0), Source::ProjectChoice)
}

/// How many fast low notes make a run: two or three are an upbeat. Chosen.
#[must_use]
pub const fn low_run() -> Sourced<f64> {
    Sourced::new(4.0, Source::ProjectChoice)
}

/// The widest interval to slur, in semitones. Chosen; no source gives a limit for slurs. An octave is taught early and
/// is in every part; a tenth and more belongs to players who practise it.
#[must_use]
pub fn widest_slur(level: Level) -> Sourced<f64> {
    Sourced::new(level.pick(12.0, 16.0, 19.0), Source::ProjectChoice)
}

/// The interval in semitones from which two notes that alternate are a tremolo and no trill: a fourth. Chosen.
#[must_use]
pub const fn tremolo_from() -> Sourced<f64> {
    Sourced::new(5.0, Source::ProjectChoice)
}

/// The fastest slurred alternation over such an interval, in notes a second. Chosen; measured trills over a whole step
/// go twice as fast.
#[must_use]
pub fn fastest_tremolo(level: Level) -> Sourced<f64> {
    Sourced::new(level.pick(4.0, 5.0, 6.0), Source::ProjectChoice)
}

/// How many notes to and fro make a tremolo: fewer are a figure. Chosen.
#[must_use]
pub const fn notes_of_tremolo() -> Sourced<f64> {
    Sourced::new(6.0, Source::ProjectChoice)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn better_players_do_more() {
        for pair in Level::ALL.windows(2) {
            let (less, more) = (pair[0], pair[1]);
            assert!(single_tongue(less).value < single_tongue(more).value);
            assert!(double_tongue(less).value < double_tongue(more).value);
            assert!(fastest_low(less).value < fastest_low(more).value);
            assert!(slow_below(less).value > slow_below(more).value);
            assert!(cold_from(less).value < cold_from(more).value);
            assert!(widest_slur(less).value < widest_slur(more).value);
            assert!(fastest_tremolo(less).value < fastest_tremolo(more).value);
        }
        for level in Level::ALL {
            assert!(single_tongue(level).value < double_tongue(level).value);
        }
    }
}
