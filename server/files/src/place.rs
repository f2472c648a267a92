//! Places in a document as people and programs count them.

use memchr::memchr2_iter;
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

/// Where the lines of a document begin, to tell many of its places.
#[derive(Debug)]
pub struct Places<'a> {
    document: &'a Document,
    /// In bytes of its text.
    lines: Vec<usize>,
    /// Whether every character is one byte, as in most scores; columns then need no counting.
    plain: bool,
}

impl<'a> Places<'a> {
    /// Those of a document.
    #[must_use]
    pub fn of(document: &'a Document) -> Self {
        let rope = document.rope();
        let mut lines = vec![0];
        let mut start = 0;
        // The rope never cuts a carriage return from its line feed.
        for chunk in rope.chunks() {
            let bytes = chunk.as_bytes();
            let ends = memchr2_iter(b'\n', b'\r', bytes);
            let ends = ends.filter(|&at| bytes[at] == b'\n' || bytes.get(at + 1) != Some(&b'\n'));
            lines.extend(ends.map(|at| start + at + 1));
            start += bytes.len();
        }
        Self {
            document,
            lines,
            plain: rope.len_bytes() == rope.len_chars(),
        }
    }

    /// The document.
    #[must_use]
    pub const fn document(&self) -> &'a Document {
        self.document
    }

    /// The place of a byte of the document's text; its end, for one beyond it.
    #[must_use]
    pub fn place(&self, byte: usize) -> Place {
        let rope = self.document.rope();
        let byte = byte.min(rope.len_bytes());
        let line = self.lines.partition_point(|start| *start <= byte);
        let start = line.checked_sub(1).and_then(|line| self.lines.get(line));
        let start = start.copied().unwrap_or(0);
        let column = if self.plain {
            byte - start
        } else {
            rope.byte_to_char(byte) - rope.byte_to_char(start)
        };
        Place {
            line,
            column: column + 1,
            byte: self.document.file_offset(byte),
        }
    }

    /// Where a span of the document's text lies.
    #[must_use]
    pub fn stretch(&self, span: Span) -> Stretch {
        Stretch {
            start: self.place(span.start),
            end: self.place(span.end),
        }
    }
}

#[cfg(test)]
mod tests {
    use notation::Format;

    use super::*;

    #[test]
    fn places_are_those_of_the_text_whatever_its_lines_and_letters() {
        for text in ["", "X:1", "X:1\nK:C\n", "X:1\r\nT:Fähre\r\rK:C\n\nüb", "\n"] {
            let document = Document::from_text(Format::Abc, text);
            let (places, rope) = (Places::of(&document), document.rope());
            for (byte, _) in text.char_indices().chain([(text.len() + 3, ' ')]) {
                let place = places.place(byte);
                let byte = byte.min(text.len());
                let line = rope.byte_to_line(byte);
                let column = rope.byte_to_char(byte) - rope.line_to_char(line);
                let told = (place.line, place.column, place.byte);
                assert_eq!(told, (line + 1, column + 1, byte), "{text:?}");
            }
        }
    }
}
