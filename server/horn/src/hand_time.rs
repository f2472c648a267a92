//! How long the right hand needs to close or open the bell, and the arms to raise or lower it.

use theory::Seconds;

use crate::source::{Source, Sourced};

/// The shortest note before a change between open and stopped that leaves the hand time to turn.
///
/// No published figure was found, only works that ask for quick alternation; this is a chosen default.
#[must_use]
pub const fn time_to_turn_hand() -> Sourced<Seconds> {
    Sourced::new(Seconds(0.2), Source::ProjectChoice)
}

/// How many notes may lie between two quick changes of the hand that the player feels as one passage. Chosen.
#[must_use]
pub const fn notes_between_turns() -> Sourced<f64> {
    Sourced::new(4.0, Source::ProjectChoice)
}

/// How many changes of the hand in a row, note by note, are a series. Chosen: two bars of quavers.
#[must_use]
pub const fn turns_of_a_series() -> Sourced<f64> {
    Sourced::new(8.0, Source::ProjectChoice)
}

/// The shortest note in a series of changes, each of which alone would leave the hand time enough. Chosen: twice the
/// time for one change.
#[must_use]
pub const fn time_in_a_series() -> Sourced<Seconds> {
    Sourced::new(Seconds(0.4), Source::ProjectChoice)
}

/// Clock time to take the hand out and raise the bell. No published figure was found; chosen.
#[must_use]
pub const fn time_to_raise_bells() -> Sourced<Seconds> {
    Sourced::new(Seconds(1.0), Source::ProjectChoice)
}

/// Clock time to lower the bell and put the hand back. No published figure was found; chosen.
#[must_use]
pub const fn time_to_lower_bells() -> Sourced<Seconds> {
    Sourced::new(Seconds(1.0), Source::ProjectChoice)
}

/// The rest after which players doubt whether raised bells stay up. Chosen: a bar at a quick march's pace.
#[must_use]
pub const fn rest_that_lowers_bells() -> Sourced<Seconds> {
    Sourced::new(Seconds(2.0), Source::ProjectChoice)
}

/// How many notes away from a stopped one a sign for the open horn still belongs to it. Chosen.
#[must_use]
pub const fn notes_near_stopping() -> Sourced<f64> {
    Sourced::new(8.0, Source::ProjectChoice)
}

/// Where it was read that closing the bell slowly lowers a sounding note.
#[must_use]
pub const fn closing_hand_source() -> Source {
    Source::Published {
        author: "Acoustical Society of America",
        title: "Journal of the Acoustical Society of America",
        year: "2024",
        place: "155 (3, supplement), A109",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hand_turns_faster_than_a_bell_rises() {
        assert!(time_to_turn_hand().value < time_to_raise_bells().value);
        assert!(time_to_turn_hand().value < time_to_lower_bells().value);
    }
}
