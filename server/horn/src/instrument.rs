//! The kinds of valve horn a part can be played on, and the sides each of them has.

use std::fmt;
use std::str::FromStr;

use crate::series::{Side, Tube, Valves};

/// A kind of valve horn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Instrument {
    /// The double horn: an F side and a B flat side.
    #[default]
    Double,
    /// The single horn in F.
    SingleF,
    /// The single horn in B flat, with three valves.
    SingleBFlat,
    /// The triple horn: the double horn's sides, and an F side an octave higher.
    Triple,
}

impl Instrument {
    /// Every kind.
    pub const ALL: [Self; 4] = [Self::Double, Self::SingleF, Self::SingleBFlat, Self::Triple];

    /// What the trade calls it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Double => "F/B♭ double",
            Self::SingleF => "single F",
            Self::SingleBFlat => "single B♭",
            Self::Triple => "F/B♭/high-F triple",
        }
    }

    /// The word for it in settings and on the command line.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Double => "double",
            Self::SingleF => "single F",
            Self::SingleBFlat => "single B flat",
            Self::Triple => "triple",
        }
    }

    /// Its sides, the longest first.
    #[must_use]
    pub const fn sides(self) -> &'static [Side] {
        match self {
            Self::Double => &[Side::F, Side::BFlat],
            Self::SingleF => &[Side::F],
            Self::SingleBFlat => &[Side::BFlat],
            Self::Triple => &[Side::F, Side::BFlat, Side::HighF],
        }
    }

    /// Whether it has a side.
    #[must_use]
    pub fn has(self, side: Side) -> bool {
        self.sides().contains(&side)
    }

    /// Its lengths of tube, each side shortest first; 3 alone is the length of 12 and is not listed again.
    pub fn tubes(self) -> impl Iterator<Item = Tube> {
        self.sides().iter().flat_map(|&side| {
            Valves::ALL
                .into_iter()
                .filter(|valves| *valves != Valves::Third)
                .map(move |valves| Tube { side, valves })
        })
    }
}

impl fmt::Display for Instrument {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// Why a text names no instrument.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ParseInstrumentError {
    /// The text as it was given.
    pub text: String,
}

impl fmt::Display for ParseInstrumentError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let words = Instrument::ALL.map(|instrument| format!("\"{}\"", instrument.word()));
        write!(
            f,
            "`{}` is no kind of horn; write {}",
            self.text,
            words.join(", ")
        )
    }
}

impl std::error::Error for ParseInstrumentError {}

/// Folded spellings; "horn" is left out, and flats are spelled `b`.
const SPELLINGS: [(&str, Instrument); 14] = [
    ("double", Instrument::Double),
    ("f/bb", Instrument::Double),
    ("f/bb double", Instrument::Double),
    ("double f/bb", Instrument::Double),
    ("single f", Instrument::SingleF),
    ("f single", Instrument::SingleF),
    ("single in f", Instrument::SingleF),
    ("single bb", Instrument::SingleBFlat),
    ("bb single", Instrument::SingleBFlat),
    ("single in bb", Instrument::SingleBFlat),
    ("triple", Instrument::Triple),
    ("f/bb/high-f triple", Instrument::Triple),
    ("f/bb/high f triple", Instrument::Triple),
    ("f/bb/f triple", Instrument::Triple),
];

impl FromStr for Instrument {
    type Err = ParseInstrumentError;

    /// Reads `double`, `single F`, `single B flat`, `triple`, the names of the trade, and either with "horn".
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let spelled = text
            .to_lowercase()
            .replace('♭', "b")
            .replace("b flat", "bb")
            .replace("b-flat", "bb");
        let folded: Vec<&str> = spelled
            .split_whitespace()
            .filter(|word| *word != "horn")
            .collect();
        let folded = folded.join(" ");
        SPELLINGS
            .iter()
            .find(|(spelling, _)| *spelling == folded)
            .map(|(_, instrument)| *instrument)
            .ok_or_else(|| ParseInstrumentError {
                text: text.to_owned(),
            })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_and_words_are_read_back() {
        for instrument in Instrument::ALL {
            for text in [
                instrument.word().to_owned(),
                instrument.name().to_owned(),
                format!("{} horn", instrument.word().to_uppercase()),
            ] {
                assert_eq!(text.parse(), Ok(instrument), "{text}");
            }
        }
        assert_eq!("single Bb".parse(), Ok(Instrument::SingleBFlat));
        for wrong in ["", "horn", "single", "horn in F", "quadruple", "B flat"] {
            let error = wrong.parse::<Instrument>().unwrap_err().to_string();
            assert!(
                error.contains("\"double\", \"single F\""),
                "{wrong}: {error}"
            );
        }
    }

    #[test]
    fn each_has_seven_tubes_a_side() {
        for (instrument, tubes) in [
            (Instrument::Double, 14),
            (Instrument::SingleF, 7),
            (Instrument::SingleBFlat, 7),
            (Instrument::Triple, 21),
        ] {
            assert_eq!(instrument.tubes().count(), tubes, "{instrument}");
        }
        assert!(Instrument::Double.tubes().eq(Tube::ALL));
    }
}
