//! The parts that settings name, so that names nobody has can be told.

use globset::GlobBuilder;
use score::PartSelector;

use super::change::Change;
use super::{Origin, Settings};
use crate::judged::Judged;

/// A name of a part, or a pattern of names, that a settings file says something of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PartsNamed {
    /// Where it is said.
    pub origin: Origin,
    /// The name or pattern as written.
    pub words: String,
}

impl Settings {
    /// The names and patterns of parts that settings files say something of, each once for each line.
    #[must_use]
    pub fn parts_named(&self) -> Vec<PartsNamed> {
        let mut all = Vec::new();
        for set in &self.sets {
            let Some(origin) = &set.at else { continue };
            let own = match &set.change {
                Change::Part(PartSelector::Named(name), ..) => Some(name),
                _ => None,
            };
            let patterns = set.parts.iter().flat_map(|parts| &parts.patterns);
            for words in own.into_iter().chain(patterns) {
                let named = PartsNamed {
                    origin: origin.clone(),
                    words: words.clone(),
                };
                // Every key of a table for some parts has the same patterns.
                let known = |one: &PartsNamed| {
                    one.words == *words && one.origin.file == origin.file && own.is_none()
                };
                if !all.iter().any(known) {
                    all.push(named);
                }
            }
        }
        all
    }
}

impl PartsNamed {
    /// Whether a document has such a part: by name, id or number as `[parts]` reads it, or as a pattern of names.
    #[must_use]
    pub fn is_in(&self, judged: &Judged) -> bool {
        let selector = PartSelector::Named(self.words.clone());
        let mut pieces = judged.document().score().pieces.iter();
        if pieces.any(|placed| !selector.select(&placed.piece.parts).is_empty()) {
            return true;
        }
        let glob = GlobBuilder::new(&self.words).case_insensitive(true).build();
        let Ok(glob) = glob.map(|glob| glob.compile_matcher()) else {
            return false;
        };
        let mut horns = judged.pieces().flat_map(|(_, reading)| &reading.horns);
        horns.any(|horn| glob.is_match(&horn.label))
    }
}
