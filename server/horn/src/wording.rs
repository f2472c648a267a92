//! What is printed for an instruction, in each language that parts are written in.

use std::fmt;
use std::str::FromStr;

use crate::terms::{Instruction, Language};

/// What a house can choose words for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Wording {
    /// The mute goes in.
    MuteIn,
    /// The mute comes out.
    MuteOut,
    /// The hand closes the bell.
    Stopped,
    /// The hand half closes it.
    HalfStopped,
    /// The hand comes out.
    Open,
    /// The bell is raised.
    BellsUp,
    /// The bell is held as usual again.
    BellsDown,
    /// A brassy, forced tone.
    Brassy,
}

/// Languages in the order of [`PRINTED`]'s columns.
const COLUMNS: [Language; 7] = [
    Language::English,
    Language::Italian,
    Language::French,
    Language::German,
    Language::Spanish,
    Language::Polish,
    Language::Czech,
];

/// What is printed, a column for each language; nothing where the trade uses the Italian or French words.
///
/// Source: chiuso, bouché and gestopft, *Musikordboken* (1985), as musiksok.se has it; the others common practice.
const PRINTED: [(Wording, [Option<&str>; 7]); 8] = [
    (
        Wording::MuteIn,
        [
            Some("mute in"),
            Some("con sord."),
            Some("avec sourdine"),
            Some("mit Dämpfer"),
            Some("con sordina"),
            Some("z tłumikiem"),
            Some("s dusítkem"),
        ],
    ),
    (
        Wording::MuteOut,
        [
            Some("mute out"),
            Some("senza sord."),
            Some("sans sourdine"),
            Some("ohne Dämpfer"),
            Some("sin sordina"),
            Some("bez tłumika"),
            Some("bez dusítka"),
        ],
    ),
    (
        Wording::Stopped,
        [
            Some("stopped"),
            Some("chiuso"),
            Some("bouché"),
            Some("gestopft"),
            Some("tapado"),
            None,
            None,
        ],
    ),
    (
        Wording::HalfStopped,
        [
            Some("half stopped"),
            Some("mezzo chiuso"),
            Some("demi bouché"),
            Some("halb gestopft"),
            Some("medio tapado"),
            None,
            None,
        ],
    ),
    (
        Wording::Open,
        [
            Some("open"),
            Some("aperto"),
            Some("ouvert"),
            Some("offen"),
            Some("abierto"),
            Some("otwarty"),
            Some("otevřeně"),
        ],
    ),
    (
        Wording::BellsUp,
        [
            Some("bells up"),
            Some("campana in aria"),
            Some("pavillon en l'air"),
            Some("Schalltrichter auf"),
            Some("pabellón al aire"),
            None,
            None,
        ],
    ),
    (
        Wording::BellsDown,
        [
            Some("bells down"),
            Some("campana normale"),
            Some("pavillon normal"),
            Some("Schalltrichter ab"),
            Some("posición normal"),
            None,
            None,
        ],
    ),
    (
        Wording::Brassy,
        [
            Some("brassy"),
            None,
            Some("cuivré"),
            Some("schmetternd"),
            None,
            None,
            None,
        ],
    ),
];

impl Wording {
    /// All of them.
    pub const ALL: [Self; 8] = [
        Self::MuteIn,
        Self::MuteOut,
        Self::Stopped,
        Self::HalfStopped,
        Self::Open,
        Self::BellsUp,
        Self::BellsDown,
        Self::Brassy,
    ];

    /// The word for it in settings.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::MuteIn => "mute-in",
            Self::MuteOut => "mute-out",
            Self::Stopped => "stopped",
            Self::HalfStopped => "half-stopped",
            Self::Open => "open",
            Self::BellsUp => "bells-up",
            Self::BellsDown => "bells-down",
            Self::Brassy => "brassy",
        }
    }

    /// Whether it speaks of the mute.
    #[must_use]
    pub const fn is_of_mute(self) -> bool {
        matches!(self, Self::MuteIn | Self::MuteOut)
    }

    /// What an instruction asks, where a house can choose words for it.
    #[must_use]
    pub const fn of(instruction: &Instruction) -> Option<Self> {
        Some(match instruction {
            Instruction::MuteOn => Self::MuteIn,
            Instruction::MuteOff => Self::MuteOut,
            Instruction::Stopped => Self::Stopped,
            Instruction::HalfStopped => Self::HalfStopped,
            Instruction::Open => Self::Open,
            Instruction::BellsUp => Self::BellsUp,
            Instruction::BellsNormal => Self::BellsDown,
            Instruction::Cuivre => Self::Brassy,
            _ => return None,
        })
    }

    /// What is printed for it in a language; what the trade prints everywhere, where the language has no word of its own.
    #[must_use]
    pub fn printed(self, language: Language) -> &'static str {
        let row = PRINTED.iter().find(|(wording, _)| *wording == self);
        let in_language = |language: Language| {
            let column = COLUMNS.iter().position(|one| *one == language)?;
            row.and_then(|(_, words)| words.get(column).copied().flatten())
        };
        in_language(language)
            .or_else(|| in_language(Language::Italian))
            .or_else(|| in_language(Language::French))
            .unwrap_or_default()
    }
}

impl Language {
    /// All of them, in the order of the alphabet.
    pub const ALL: [Self; 7] = [
        Self::Czech,
        Self::English,
        Self::French,
        Self::German,
        Self::Italian,
        Self::Polish,
        Self::Spanish,
    ];

    /// The word for it in settings.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::English => "english",
            Self::Italian => "italian",
            Self::French => "french",
            Self::German => "german",
            Self::Spanish => "spanish",
            Self::Polish => "polish",
            Self::Czech => "czech",
        }
    }
}

impl fmt::Display for Language {
    /// As a sentence says it: `German`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Debug::fmt(self, f)
    }
}

impl FromStr for Language {
    type Err = String;

    /// Fails with the languages that there are.
    fn from_str(name: &str) -> Result<Self, Self::Err> {
        Self::ALL
            .into_iter()
            .find(|language| language.name() == name)
            .ok_or_else(|| {
                let names = Self::ALL.map(Self::name).join(", ");
                format!("`{name}` is no language that words are known in; expected one of {names}")
            })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read_words;

    #[test]
    fn every_printed_word_is_read_as_what_it_says_in_its_language() {
        let mut read = 0;
        for (wording, words) in PRINTED {
            for (language, word) in COLUMNS.into_iter().zip(words) {
                let Some(word) = word else { continue };
                let terms = read_words(word);
                assert_eq!(terms.len(), 1, "{word}");
                assert_eq!(Wording::of(&terms[0].instruction), Some(wording), "{word}");
                let spoken = terms[0].language;
                assert!(
                    spoken.is_none_or(|spoken| spoken == language),
                    "{word}: {spoken:?}"
                );
                assert_eq!(wording.printed(language), word);
                read += 1;
            }
        }
        println!("{read} words read back");
        assert_eq!(
            Wording::ALL.map(|wording| PRINTED.iter().filter(|row| row.0 == wording).count()),
            [1; 8]
        );
    }

    #[test]
    fn where_a_language_has_no_word_the_trade_has_one() {
        assert_eq!(Wording::Stopped.printed(Language::Polish), "chiuso");
        assert_eq!(Wording::Brassy.printed(Language::Italian), "cuivré");
        for wording in Wording::ALL {
            for language in Language::ALL {
                assert!(!wording.printed(language).is_empty());
            }
        }
    }

    #[test]
    fn languages_are_read_by_their_names() {
        for language in Language::ALL {
            assert_eq!(language.name().parse(), Ok(language));
        }
        let error = "klingon".parse::<Language>().unwrap_err();
        assert!(error.contains("czech, english"), "{error}");
    }
}
