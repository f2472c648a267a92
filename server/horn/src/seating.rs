//! Which chairs of the section are high and which are low, and how far each goes.

use theory::Letter;

use crate::compass::Height;
use crate::source::{Source, Sourced};

/// What a chair is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Chair {
    /// A high player's.
    High,
    /// A low player's.
    Low,
}

/// The chair of a horn by its number: 1 and 3 are high players, 2 and 4 low ones, and so on upward.
#[must_use]
pub const fn chair(player: u8) -> Sourced<Chair> {
    let chair = if player.is_multiple_of(2) {
        Chair::Low
    } else {
        Chair::High
    };
    Sourced::new(
        chair,
        Source::Published {
            author: "Hugill",
            title: "The Orchestra: A User's Manual, layouts of the brass",
            year: "undated",
            place: "",
        },
    )
}

/// The highest note to give a low player. No source gives a number; chosen, a third under the top.
#[must_use]
pub const fn low_chair_highest() -> Sourced<Height> {
    Sourced::new(Height::new(Letter::A, 0, 5), Source::ProjectChoice)
}

/// The lowest note to give a high player. No source gives a number; chosen.
#[must_use]
pub const fn high_chair_lowest() -> Sourced<Height> {
    Sourced::new(Height::new(Letter::C, 0, 3), Source::ProjectChoice)
}

/// How many bars in a row the low player may lie above the high one before it is a matter of the chairs. Chosen.
#[must_use]
pub const fn bars_of_crossing() -> Sourced<f64> {
    Sourced::new(3.0, Source::ProjectChoice)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chairs_interlock() {
        assert_eq!(
            [1, 2, 3, 4].map(|player| chair(player).value),
            [Chair::High, Chair::Low, Chair::High, Chair::Low]
        );
        assert!(high_chair_lowest().value < low_chair_highest().value);
    }
}
