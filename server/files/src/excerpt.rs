//! The lines of a score that a finding is about, as a report shows them.

use annotate_snippets::{AnnotationKind, Element, Origin, Snippet};
use notation::Document;
use score::Span;
use serde::{Deserialize, Serialize};

/// How much of a long line is shown before and after what a finding is about, in bytes.
const BESIDE: usize = 400;
/// How much of a place is shown, in bytes; a whole part may be one.
const MOST_SHOWN: usize = 2000;

/// The lines a span stands in, cut out of the text; of long lines what stands near it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Excerpt {
    text: String,
    /// What is marked, in bytes of the text.
    marked: (usize, usize),
    /// The first line's number, from 1.
    line: usize,
    /// Where the mark stands in its line, in characters from 1, when the line is cut before it.
    column: Option<usize>,
}

impl Excerpt {
    /// The lines that a span of the document lies in.
    pub fn around(document: &Document, span: Span) -> Self {
        let rope = document.rope();
        let length = rope.len_bytes();
        let (from, to) = (span.start.min(length), span.end.min(length).max(span.start));
        let first = rope.byte_to_line(from);
        let last = rope.byte_to_line(to.min(length));
        let start = rope.line_to_byte(first);
        let end = rope.line_to_byte((last + 1).min(rope.len_lines()));
        // A score may be one line of a megabyte, and every finding shows a piece of it.
        let near = from.saturating_sub(BESIDE).max(start);
        let start = rope.char_to_byte(rope.byte_to_char(near));
        let far = from
            .saturating_add(MOST_SHOWN)
            .min(to)
            .saturating_add(BESIDE);
        let end = rope.char_to_byte(rope.byte_to_char(far.min(end)));
        let mut text: String = rope.byte_slice(start..end.max(start)).chars().collect();
        text.truncate(text.trim_end_matches(['\r', '\n']).len());
        let from_cut = span.start.saturating_sub(start).min(text.len());
        let to_cut = span.end.saturating_sub(start).clamp(from_cut, text.len());
        Self {
            text,
            marked: (from_cut, to_cut),
            line: first + 1,
            column: (start > rope.line_to_byte(first))
                .then(|| rope.byte_to_char(from) - rope.line_to_char(first) + 1),
        }
    }

    /// The first line of the text, and where the mark begins and ends in it, in UTF-16 units.
    pub fn first_line(&self) -> (&str, usize, usize) {
        let (from, to) = self.marked;
        let ends = self
            .text
            .get(from..)
            .and_then(|rest| rest.find(['\r', '\n']));
        let line = self
            .text
            .get(..ends.map_or(self.text.len(), |end| from + end));
        let line = line.unwrap_or_default();
        let units = |to: usize| {
            line.get(..to.min(line.len()))
                .map_or(0, |part| part.encode_utf16().count())
        };
        (line, units(from), units(to))
    }

    /// Whether another one shows the same lines.
    #[must_use]
    pub fn shows_lines_of(&self, other: &Self) -> bool {
        (self.line, self.column, &self.text) == (other.line, other.column, &other.text)
    }

    /// The place of the mark, without the lines.
    #[must_use]
    pub fn place<'a>(&self, path: &'a str) -> Element<'a> {
        let before = self.text.get(..self.marked.0).unwrap_or_default();
        let column = self.column.unwrap_or(before.chars().count() + 1);
        let origin = Origin::path(path).line(self.line);
        origin.char_column(column).into()
    }

    /// The lines with their place, and everything that is marked in them, each with what it is; what is marked elsewhere
    /// is passed over.
    #[must_use]
    pub fn snippet<'a>(&'a self, path: &'a str, marks: &[Mark<'a>]) -> Vec<Element<'a>> {
        let here = marks
            .iter()
            .filter(|mark| self.shows_lines_of(mark.excerpt));
        let annotations = here.map(|mark| {
            let (from, to) = mark.excerpt.marked;
            let annotation = mark.kind.span(from..to);
            match mark.label {
                "" => annotation,
                label => annotation.label(label),
            }
        });
        let snippet = Snippet::source(self.text.as_str())
            .line_start(self.line)
            .annotations(annotations);
        match self.column {
            None => vec![snippet.path(path).into()],
            // The place cannot be counted in a line that is cut.
            Some(_) => vec![self.place(path), snippet.into()],
        }
    }
}

/// Something marked in the lines of an excerpt.
#[derive(Debug, Clone, Copy)]
pub struct Mark<'a> {
    /// The lines, and what is marked in them.
    pub excerpt: &'a Excerpt,
    /// Whether a report is about it.
    pub kind: AnnotationKind,
    /// What it is; empty where the title above says so.
    pub label: &'a str,
}

#[cfg(test)]
mod tests {
    use super::*;
    use notation::Format;

    #[test]
    fn the_first_line_is_marked_in_utf_16_units() {
        let document = Document::from_text(Format::Abc, "X:1\nT:\u{1f4ef} \u{e4}\nK:none\nc |\n");
        let first_line = |start: usize, end: usize| {
            let shown = Excerpt::around(&document, Span::new(start, end));
            let (line, from, to) = shown.first_line();
            (line.to_owned(), from, to)
        };
        assert_eq!(first_line(11, 13), ("T:\u{1f4ef} \u{e4}".to_owned(), 5, 6));
        // What goes on in other lines is marked to the end of the first.
        assert_eq!(first_line(6, 18), ("T:\u{1f4ef} \u{e4}".to_owned(), 2, 6));
        assert_eq!(first_line(0, 0), ("X:1".to_owned(), 0, 0));
    }

    #[test]
    fn of_a_long_line_the_neighbourhood_is_shown() {
        let music = "\u{e4}c d e | ".repeat(100_000);
        let text = format!("X:1\nK:none\n{music}\nf");
        let document = Document::from_text(Format::Abc, &text);
        for start in [0, 4, 11, 600_000, 600_001, text.len() - 1, text.len()] {
            let shown = Excerpt::around(&document, Span::new(start, start + 1));
            let length = shown.text.len();
            assert!(length <= 2 * BESIDE + 8, "{start}: {length}");
            assert!(
                shown.text.is_empty() || text.contains(&shown.text),
                "{start}"
            );
            let (from, to) = shown.marked;
            assert!(from <= to && to <= length, "{start}");
            if text.is_char_boundary(start) && start < text.len() - 1 && to > from {
                assert_eq!(shown.text.as_bytes()[from], text.as_bytes()[start]);
            }
        }
        let whole = Excerpt::around(&document, Span::new(0, text.len()));
        assert!(whole.text.len() <= MOST_SHOWN + BESIDE + 8);
    }
}
