//! How high a soft entry can be asked for.

use theory::Letter;

use crate::compass::{Height, Level};
use crate::source::{Source, Sourced};

/// The highest note to begin on at pp or softer.
///
/// That notes near the top of the staff and above are hard to play softly stands in Goss, Orchestration Online
/// (undated), on the horn's middle register; no source gives a number, and these are chosen.
#[must_use]
pub fn highest_pp_entry(level: Level) -> Sourced<Height> {
    let height = level.pick(
        Height::new(Letter::C, 0, 5),
        Height::new(Letter::E, 0, 5),
        Height::new(Letter::G, 0, 5),
    );
    Sourced::new(height, Source::ProjectChoice)
}

/// The highest note to begin on at p. No source gives a number; these are chosen.
#[must_use]
pub fn highest_p_entry(level: Level) -> Sourced<Height> {
    let height = level.pick(
        Height::new(Letter::D, 0, 5),
        Height::new(Letter::G, 0, 5),
        Height::new(Letter::A, 0, 5),
    );
    Sourced::new(height, Source::ProjectChoice)
}

/// How many semitones higher than it may begin a soft line may climb: the lip that sounds already finds the note with
/// less noise. Chosen; no source gives a number.
#[must_use]
pub const fn soft_climb() -> Sourced<f64> {
    Sourced::new(2.0, Source::ProjectChoice)
}

/// Semitones above the highest soft entry from which an entry is no longer only delicate. Chosen.
#[must_use]
pub const fn far_above_soft() -> Sourced<f64> {
    Sourced::new(3.0, Source::ProjectChoice)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::compass::highest;

    #[test]
    fn softer_is_lower_and_all_lie_within_reach() {
        for level in Level::ALL {
            assert!(highest_pp_entry(level).value < highest_p_entry(level).value);
            assert!(highest_p_entry(level).value <= highest(level).value);
        }
    }
}
