//! Key signatures: which letters they alter, in which order, and how they move with an interval.

use std::fmt;

use crate::interval::Interval;
use crate::pitch::{Alteration, Letter};

/// The most sharps or flats a signature is carried to, each letter altered at most twice.
pub const LINE_OF_FIFTHS_LIMIT: i32 = 14;

/// The order in which sharps appear in a signature; flats come in the reverse.
const SHARP_ORDER: [Letter; 7] = [
    Letter::F,
    Letter::C,
    Letter::G,
    Letter::D,
    Letter::A,
    Letter::E,
    Letter::B,
];

/// A mode, by the church modes' names, with how far it lies from the major key on the same tonic.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Mode {
    /// Major, or Ionian.
    Major,
    /// Minor, or Aeolian.
    Minor,
    /// Mixolydian.
    Mixolydian,
    /// Dorian.
    Dorian,
    /// Phrygian.
    Phrygian,
    /// Lydian.
    Lydian,
    /// Locrian.
    Locrian,
}

impl Mode {
    /// Fifths to add to the major signature of the same tonic.
    #[must_use]
    pub const fn fifths(self) -> i32 {
        match self {
            Self::Lydian => 1,
            Self::Major => 0,
            Self::Mixolydian => -1,
            Self::Dorian => -2,
            Self::Minor => -3,
            Self::Phrygian => -4,
            Self::Locrian => -5,
        }
    }
}

/// What the signature at the start of a staff alters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Key {
    /// The alteration of each letter, C first.
    alterations: [Alteration; 7],
}

impl Key {
    /// No signature: nothing is altered.
    pub const NONE: Self = Self {
        alterations: [Alteration(0); 7],
    };

    /// The signature of so many sharps (positive) or flats (negative), held within ±14.
    #[must_use]
    pub fn from_fifths(fifths: i32) -> Self {
        let mut key = Self::NONE;
        let fifths = fifths.clamp(-LINE_OF_FIFTHS_LIMIT, LINE_OF_FIFTHS_LIMIT);
        for turn in 0..fifths.unsigned_abs() as usize {
            let place = turn % 7;
            let (letter, sign) = if fifths > 0 {
                (SHARP_ORDER[place], 1)
            } else {
                (SHARP_ORDER[6 - place], -1)
            };
            key.alterations[letter as usize].0 += sign;
        }
        key
    }

    /// The signature of a tonic and mode.
    #[must_use]
    pub fn of(tonic: Letter, alteration: Alteration, mode: Mode) -> Self {
        let major = Interval {
            steps: tonic.steps(),
            semitones: tonic.semitones() + i32::from(alteration.0),
        }
        .fifths();
        Self::from_fifths(major + mode.fifths())
    }

    /// The same signature with one letter altered otherwise.
    #[must_use]
    pub const fn with(mut self, letter: Letter, alteration: Alteration) -> Self {
        self.alterations[letter as usize] = alteration;
        self
    }

    /// What the signature does to a letter.
    #[must_use]
    pub const fn alteration(&self, letter: Letter) -> Alteration {
        self.alterations[letter as usize]
    }

    /// Whether nothing is altered.
    #[must_use]
    pub fn is_none(&self) -> bool {
        *self == Self::NONE
    }

    /// Sharps (positive) or flats (negative) when it is one of the usual signatures.
    #[must_use]
    pub fn fifths(&self) -> Option<i32> {
        (-LINE_OF_FIFTHS_LIMIT..=LINE_OF_FIFTHS_LIMIT).find(|&n| Self::from_fifths(n) == *self)
    }

    /// How many letters the signature alters.
    #[must_use]
    pub fn altered_letters(&self) -> usize {
        self.alterations.iter().filter(|a| a.0 != 0).count()
    }
}

impl fmt::Display for Key {
    /// As a player counts it: `no signature`, `2 flats`, `1 sharp`, or the altered letters.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.fifths() {
            Some(0) => f.write_str("no signature"),
            Some(n) => {
                let sign = if n > 0 { "sharp" } else { "flat" };
                let plural = if n.abs() == 1 { "" } else { "s" };
                write!(f, "{} {sign}{plural}", n.abs())
            }
            None => {
                let mut gap = "";
                for letter in Letter::ALL
                    .into_iter()
                    .filter(|&l| self.alteration(l).0 != 0)
                {
                    write!(f, "{gap}{}{}", letter.as_char(), self.alteration(letter))?;
                    gap = " ";
                }
                Ok(())
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signatures_by_tonic_and_mode() {
        let cases = [
            (Letter::A, -1, Mode::Major, -4),
            (Letter::E, 0, Mode::Minor, 1),
            (Letter::D, 0, Mode::Dorian, 0),
            (Letter::F, 1, Mode::Major, 6),
            (Letter::B, 0, Mode::Locrian, 0),
            (Letter::C, 0, Mode::Lydian, 1),
        ];
        for (tonic, alteration, mode, fifths) in cases {
            assert_eq!(
                Key::of(tonic, Alteration(alteration), mode).fifths(),
                Some(fifths)
            );
        }
    }

    #[test]
    fn names() {
        assert_eq!(Key::from_fifths(-1).to_string(), "1 flat");
        assert_eq!(Key::from_fifths(3).to_string(), "3 sharps");
        assert_eq!(
            Key::NONE
                .with(Letter::B, Alteration::FLAT)
                .with(Letter::F, Alteration::SHARP)
                .to_string(),
            "F# Bb"
        );
    }
}
