//! Places in a document as people and programs count them.

use notation::Document;
use score::Span;
use serde::{Deserialize, Serialize};

/// A place: line and column from 1, the column in characters; the byte from 0, as the file lies on disk.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Place {
    /// The line, from 1.
    pub line: usize,
    /// The column in characters, from 1.
    pub column: usize,
    /// The byte of the file, from 0.
    pub byte: usize,
}

/// From one place to another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stretch {
    /// Where it begins.
    pub start: Place,
    /// Where it ends: the place behind its last character.
    pub end: Place,
}

/// The place of a byte of the document's text.
pub fn place(document: &Document, byte: usize) -> Place {
    let rope = document.rope();
    let byte = byte.min(rope.len_bytes());
    let line = rope.byte_to_line(byte);
    let column = rope.byte_to_char(byte) - rope.line_to_char(line);
    Place {
        line: line + 1,
        column: column + 1,
        byte: document.file_offset(byte),
    }
}

/// Where a span of the document's text lies.
pub fn stretch(document: &Document, span: Span) -> Stretch {
    Stretch {
        start: place(document, span.start),
        end: place(document, span.end),
    }
}
