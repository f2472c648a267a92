//! Changes to a text, and why one may not be possible.

use std::fmt;

use score::Span;

/// A change to a document's text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TextEdit {
    /// What is replaced, in bytes of the document's text as UTF-8.
    pub span: Span,
    /// What stands there afterwards.
    pub text: String,
}

/// Why an intent cannot be written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CannotWrite {
    /// In words that can follow "not possible:".
    pub why: String,
}

impl fmt::Display for CannotWrite {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.why)
    }
}

impl std::error::Error for CannotWrite {}

/// Two edits of one batch that meet, so that their outcome would depend on their order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OverlappingEdits {
    /// The earlier one's span.
    pub first: Span,
    /// The later one's span.
    pub second: Span,
}

impl fmt::Display for OverlappingEdits {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "the edits at bytes {} and {} overlap",
            self.first.start, self.second.start
        )
    }
}

impl std::error::Error for OverlappingEdits {}
