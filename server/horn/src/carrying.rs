//! How far the instruments around a horn carry, and when they cover it.

use theory::Letter;

use crate::compass::Height;
use crate::source::{RIMSKY_COMPASS, Source, Sourced};

/// What an instrument is, as far as its loudness beside a horn is concerned.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Carrying {
    /// A woodwind instrument, and anything not known to be something else.
    Woodwind,
    /// A section of strings.
    Strings,
    /// A horn.
    Horn,
    /// A trumpet, trombone or tuba.
    Brass,
}

impl Carrying {
    /// What a part is that is no horn's, by its name.
    #[must_use]
    pub fn of_name(name: &str) -> Self {
        let name = name.to_lowercase();
        let has = |words: &[&str]| words.iter().any(|word| name.contains(word));
        if has(&BRASS) {
            Self::Brass
        } else if has(&STRINGS) && !name.contains("bassoon") {
            Self::Strings
        } else {
            Self::Woodwind
        }
    }

    /// How much it carries in units of one woodwind instrument.
    ///
    /// In forte a section of strings or a horn equals two woodwind instruments, a trumpet, trombone or tuba two horns;
    /// in piano every wind instrument and every section of strings is equal.
    #[must_use]
    pub const fn units(self, loud: bool) -> Sourced<u32> {
        let units = match self {
            Self::Strings | Self::Horn if loud => 2,
            Self::Brass if loud => 4,
            _ => 1,
        };
        Sourced::new(units, BALANCE)
    }
}

const BALANCE: Source = Source::Published {
    author: "Rimsky-Korsakov",
    title: "Principles of Orchestration",
    year: "1922",
    place: "pp. 23, 33",
};

const BRASS: [&str; 11] = [
    "trumpet", "trombone", "tromba", "tromb", "trompet", "posaune", "cornet", "tuba", "trp", "tpt",
    "tbn",
];

const STRINGS: [&str; 11] = [
    "viol",
    "cello",
    "contrabass",
    "contrabbass",
    "kontrabass",
    "double bass",
    "geige",
    "bratsche",
    "streich",
    "string",
    "archi",
];

/// How many times the horn's own weight the others must have to cover it, where they are marked louder, or equally
/// loud in forte. Chosen: that heavy scoring over a solo is bad writing is said by many, how heavy by none.
#[must_use]
pub const fn covered_by() -> Sourced<f64> {
    Sourced::new(4.0, Source::ProjectChoice)
}

/// Below this a solo is weak whatever plays around it: the bottom of the notes of greatest expression, C4.
#[must_use]
pub const fn weak_below() -> Sourced<Height> {
    Sourced::new(Height::new(Letter::C, 0, 4), RIMSKY_COMPASS)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_carry_by_what_they_are() {
        for (name, carrying, loud) in [
            ("Trumpet 1 in B flat", Carrying::Brass, 4),
            ("3 Posaunen", Carrying::Brass, 4),
            ("Violino I", Carrying::Strings, 2),
            ("Violoncello", Carrying::Strings, 2),
            ("Contrabass", Carrying::Strings, 2),
            ("Contrabassoon", Carrying::Woodwind, 1),
            ("Flute", Carrying::Woodwind, 1),
            ("Pier bell", Carrying::Woodwind, 1),
        ] {
            assert_eq!(Carrying::of_name(name), carrying, "{name}");
            assert_eq!(carrying.units(true).value, loud, "{name}");
            assert_eq!(carrying.units(false).value, 1, "{name}");
        }
        // One trumpet is two horns, a horn two woodwinds.
        assert_eq!(
            Carrying::Brass.units(true).value,
            2 * Carrying::Horn.units(true).value
        );
    }
}
