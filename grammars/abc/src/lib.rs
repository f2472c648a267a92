//! The ABC 2.1 language for tree-sitter, with the queries editors use.

use tree_sitter_language::LanguageFn;

#[allow(unsafe_code)]
mod binding {
    use tree_sitter_language::LanguageFn;

    unsafe extern "C" {
        fn tree_sitter_abc() -> *const ();
    }

    // SAFETY: the function is the one the generator wrote into parser.c.
    pub(crate) const LANGUAGE: LanguageFn = unsafe { LanguageFn::from_raw(tree_sitter_abc) };
}

/// The language, to be handed to a parser with `set_language(&LANGUAGE.into())`.
pub const LANGUAGE: LanguageFn = binding::LANGUAGE;

/// Every node kind the grammar can produce, with its fields, as JSON.
pub const NODE_TYPES: &str = include_str!("node-types.json");

/// Captures for colouring.
pub const HIGHLIGHTS_QUERY: &str = include_str!("../queries/highlights.scm");

/// Captures for folding: tunes, headers, bodies, typeset text and text between tunes.
pub const FOLDS_QUERY: &str = include_str!("../queries/folds.scm");
