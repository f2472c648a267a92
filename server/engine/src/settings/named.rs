//! Whom settings speak of: names and patterns of parts, and patterns of files, so that those that meet nothing can be
//! reported.

use globset::GlobBuilder;
use score::PartSelector;

use super::Origin;
use crate::judged::Judged;

/// A name or pattern by which a settings file says whom it speaks of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Named {
    /// Where it stands.
    pub origin: Origin,
    /// The name or pattern as written.
    pub words: String,
    /// What it is a name of.
    pub whom: Whom,
}

/// What settings name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Whom {
    /// Parts.
    Parts,
    /// Files, and whether the file that is judged is among them.
    Files(bool),
}

impl Named {
    /// Whether a document has such a part, by name, id or number as `[parts]` reads it, or as a pattern of names; or is
    /// such a file.
    #[must_use]
    pub fn is_in(&self, judged: &Judged) -> bool {
        if let Whom::Files(is_meant) = self.whom {
            return is_meant;
        }
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
