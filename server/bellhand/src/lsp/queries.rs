//! The grammars' own queries, made ready once.

use std::sync::LazyLock;

use notation::{Document, Format};
use tree_sitter::Query;

static ABC_HIGHLIGHTS: LazyLock<Option<Query>> =
    LazyLock::new(|| abc(grammar_abc::HIGHLIGHTS_QUERY));
static ABC_FOLDS: LazyLock<Option<Query>> = LazyLock::new(|| abc(grammar_abc::FOLDS_QUERY));

fn abc(query: &str) -> Option<Query> {
    Query::new(&grammar_abc::LANGUAGE.into(), query).ok()
}

/// The query that colours a document; `None` for notations without one.
pub(super) fn highlights(document: &Document) -> Option<&'static Query> {
    pick(document, &ABC_HIGHLIGHTS)
}

/// The query that finds what can be folded in a document; `None` for notations without one.
pub(super) fn folds(document: &Document) -> Option<&'static Query> {
    pick(document, &ABC_FOLDS)
}

fn pick(document: &Document, abc: &'static LazyLock<Option<Query>>) -> Option<&'static Query> {
    // A query speaks of one grammar's nodes and finds nonsense in another's.
    (document.format() == Format::Abc)
        .then(|| abc.as_ref())
        .flatten()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_queries_fit_their_grammar() {
        let document = Document::from_text(Format::Abc, "X:1\nK:none\nc\n");
        assert!(highlights(&document).is_some());
        assert!(folds(&document).is_some());
    }
}
