//! One thing that settings set, and where it was said.

use std::path::PathBuf;
use std::sync::Arc;

use globset::GlobSet;
use horn::{Called, ClefConvention, Instrument, Level, Numerals, PartSaid, Wording};
use reading::Casting;
use rules::{Given, House, HouseLanguage, RuleSelector, Severity};
use score::{Courtesy, PartSelector};
use theory::{PagePitch, Tempo};

/// One thing that is set.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Change {
    Level(Level),
    Instrument(Instrument),
    /// Where accidentals remind, and whether notes that lack one are told.
    Courtesy(Courtesy, bool),
    /// Whether courtesy accidentals stand in brackets.
    Brackets(bool),
    /// What the notes of a page stand for; nothing leaves it to each score.
    Pitch(Option<PagePitch>),
    BassClef(ClefConvention),
    Tempo(Tempo),
    /// With the words as they were said.
    Part(PartSelector, PartSaid, String),
    Severity(RuleSelector, Option<Severity>),
    OfRule {
        rule: &'static str,
        name: String,
        value: Given,
    },
    Language(HouseLanguage),
    Words(Wording, Vec<String>),
    Call(Called, String),
    NameOfOne(String),
    NameOfSeveral(String),
    Numerals(Numerals),
    EFlat(String),
    Between(String),
}

impl Change {
    /// Makes it in a house. The error says what was expected instead.
    pub(super) fn apply_to_house(&self, house: &mut House) -> Result<(), String> {
        match self {
            Self::Level(level) => house.level = *level,
            // Of the page itself it is said by the newer key, which goes before the older.
            Self::Courtesy(_, false) if house.courtesy_kept => {}
            Self::Courtesy(courtesy, kept) => {
                (house.courtesy, house.courtesy_kept) = (*courtesy, *kept);
            }
            Self::Brackets(brackets) => house.courtesy_brackets = *brackets,
            Self::Pitch(pitch) => house.pitch = *pitch,
            Self::Severity(selector, severity) => house.set_severity(*selector, *severity),
            Self::OfRule { rule, name, value } => house.set(rule, name, value)?,
            Self::Language(language) => house.words.set_language(*language),
            Self::Words(wording, words) => house.words.set_printed(*wording, words.clone())?,
            Self::Call(called, words) => house.calls.set(*called, words.clone())?,
            Self::NameOfOne(pattern) => house.naming.single = Some(pattern.clone()),
            Self::NameOfSeveral(pattern) => house.naming.shared = Some(pattern.clone()),
            Self::Numerals(numerals) => house.naming.numerals = *numerals,
            Self::EFlat(spelling) => house.naming.e_flat.clone_from(spelling),
            Self::Between(words) => house.naming.between.clone_from(words),
            Self::Instrument(_) | Self::BassClef(_) | Self::Tempo(_) | Self::Part(..) => {}
        }
        Ok(())
    }

    /// Makes it in how scores are cast.
    pub(super) fn apply_to_casting(&self, casting: &mut Casting) {
        match self {
            Self::Instrument(instrument) => casting.instrument = *instrument,
            Self::BassClef(convention) => casting.bass_clef = *convention,
            Self::Tempo(tempo) => casting.assumed_tempo = Some(*tempo),
            Self::Part(selector, said, _) => {
                // What was said last of a part comes first among those that are looked through.
                casting.parts.retain(|(known, _)| known != selector);
                let at = match selector {
                    PartSelector::All => casting.parts.len(),
                    _ => 0,
                };
                casting.parts.insert(at, (selector.clone(), said.clone()));
            }
            _ => {}
        }
    }

    /// Whether it can be set for some parts alone.
    pub(super) const fn is_of_parts(&self) -> bool {
        !matches!(
            self,
            Self::Instrument(_) | Self::BassClef(_) | Self::Tempo(_) | Self::Part(..)
        )
    }
}

/// Where something is set.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Origin {
    /// The settings file.
    pub file: PathBuf,
    /// The line, from 1.
    pub line: usize,
}

/// Parts by patterns of their names.
#[derive(Debug, Clone)]
pub(super) struct Parts {
    pub(super) patterns: Vec<String>,
    pub(super) set: GlobSet,
}

impl PartialEq for Parts {
    fn eq(&self, other: &Self) -> bool {
        self.patterns == other.patterns
    }
}

/// A change with whom it is for and where it was said, `P` being a place as its source counts them.
#[derive(Debug, Clone)]
pub(super) struct Set<P> {
    /// Its name with those of the tables it stands in, such as `rules.stopped/too-low.lowest`.
    pub(super) name: String,
    pub(super) change: Change,
    /// The parts it is for; all where there are none.
    pub(super) parts: Option<Arc<Parts>>,
    pub(super) at: P,
}
