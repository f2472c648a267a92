//! The grammars' own queries, made ready once.

use std::sync::LazyLock;

use notation::{Document, Format};
use tree_sitter::Query;
use tree_sitter_language::LanguageFn;

/// A grammar's queries; a query that does not fit its grammar is none.
struct Queries {
    highlights: Option<Query>,
    folds: Option<Query>,
}

impl Queries {
    fn new(language: LanguageFn, highlights: &str, folds: &str) -> Self {
        let query = |text| Query::new(&language.into(), text).ok();
        Self {
            highlights: query(highlights),
            folds: query(folds),
        }
    }
}

static ABC: LazyLock<Queries> = LazyLock::new(|| {
    Queries::new(
        grammar_abc::LANGUAGE,
        grammar_abc::HIGHLIGHTS_QUERY,
        grammar_abc::FOLDS_QUERY,
    )
});

static KERN: LazyLock<Queries> = LazyLock::new(|| {
    Queries::new(
        grammar_kern::LANGUAGE,
        grammar_kern::HIGHLIGHTS_QUERY,
        grammar_kern::FOLDS_QUERY,
    )
});

/// The query that colours a document; `None` for notations without one.
pub(super) fn highlights(document: &Document) -> Option<&'static Query> {
    of(document)?.highlights.as_ref()
}

/// The query that finds what can be folded in a document; `None` for notations without one.
pub(super) fn folds(document: &Document) -> Option<&'static Query> {
    of(document)?.folds.as_ref()
}

/// A query speaks of one grammar's nodes and finds nonsense in another's.
fn of(document: &Document) -> Option<&'static Queries> {
    match document.format() {
        Format::Abc => Some(&ABC),
        Format::Kern => Some(&KERN),
        Format::MusicXml => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_queries_fit_their_grammars() {
        for (format, text) in [
            (Format::Abc, "X:1\nK:none\nc\n"),
            (Format::Kern, "**kern\n4c\n*-\n"),
        ] {
            let document = Document::from_text(format, text);
            assert!(highlights(&document).is_some(), "{format:?}");
            assert!(folds(&document).is_some(), "{format:?}");
        }
    }
}
