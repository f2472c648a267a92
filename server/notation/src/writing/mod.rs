//! What the writing halves of the notations share: the notes as they are named, and which accidentals a page needs.

pub(crate) mod accidentals;
pub(crate) mod ignored;
pub(crate) mod moved_part;
pub(crate) mod notes;

use score::Span;

use crate::edit::{CannotWrite, TextEdit};

/// A refusal with its reason.
pub(crate) fn cannot<T>(why: impl Into<String>) -> Result<T, CannotWrite> {
    Err(CannotWrite { why: why.into() })
}

/// An edit that puts `text` in place of a span.
pub(crate) fn replace(span: Span, text: impl Into<String>) -> TextEdit {
    TextEdit {
        span,
        text: text.into(),
    }
}

/// An edit that adds `text` before a byte.
pub(crate) fn insert(at: usize, text: impl Into<String>) -> TextEdit {
    replace(Span::new(at, at), text)
}

/// The edits in the order of the text. What is added at one place is one edit, so that nobody has to care for an order.
pub(crate) fn in_order(mut edits: Vec<TextEdit>) -> Vec<TextEdit> {
    edits.sort_by_key(|edit| edit.span);
    edits.dedup_by(|later, earlier| {
        let joined = earlier.span.is_empty() && later.span.start == earlier.span.start;
        if joined {
            earlier.span = later.span;
            earlier.text.push_str(&later.text);
        }
        joined
    });
    edits
}
