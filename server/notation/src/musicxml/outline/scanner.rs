//! The walk from sign to sign that finds the chunks, whatever is broken on the way.

use std::sync::Arc;

use score::bounds::{MOST_BARS, MOST_PARTS, MOST_UNREADABLE};
use score::{Lost, Span, Unreadable, hold_unreadable};

use super::{Chunk, Layout, Outline, is_frame};
use crate::musicxml::scan::{self, Markup};

/// Finds the layout of a text.
pub(super) fn outline(text: &str) -> Outline {
    let mut scanner = Scanner {
        text,
        outline: Outline::default(),
        outer: None,
        open: None,
        columns: Vec::new(),
        rows: 0,
        gap: 0,
    };
    scanner.run();
    scanner.outline
}

/// The element around chunks that is open.
struct Outer {
    id: Arc<str>,
    implicit: bool,
    span: Span,
}

struct Scanner<'t> {
    text: &'t str,
    outline: Outline,
    outer: Option<Outer>,
    /// The chunk that is open.
    open: Option<Chunk>,
    /// How many measures each part has by now.
    columns: Vec<(Arc<str>, usize)>,
    /// How many timewise measures there are by now.
    rows: usize,
    /// Where the last thing outside chunks ended.
    gap: usize,
}

impl Scanner<'_> {
    fn slip(
        &mut self,
        span: Span,
        problem: impl Into<String>,
        expected: impl Into<String>,
        lost: Lost,
    ) {
        if self.outline.slips.len() > 2 * MOST_UNREADABLE {
            hold_unreadable(&mut self.outline.slips);
        }
        self.outline.slips.push(Unreadable {
            span,
            problem: problem.into(),
            expected: expected.into(),
            lost,
            part: None,
        });
    }

    fn run(&mut self) {
        let mut at = 0;
        let mut other_root = None;
        while let Some(found) = scan::next(self.text, at) {
            if self.is_full() {
                self.slip(
                    Span::new(found.span.start, self.text.len()),
                    format!(
                        "this score has more than {MOST_PARTS} parts or {MOST_BARS} measures in all of them, and is read no further"
                    ),
                    "a file for each movement",
                    Lost::Notes,
                );
                return;
            }
            at = found.span.end;
            match found.markup {
                Markup::Open(name) => {
                    let known = is_frame(name);
                    if self.outline.root.is_none() && !known {
                        other_root.get_or_insert((found.span, name));
                    }
                    if known {
                        let tag = scan::tag(self.text, found.span.start);
                        self.open(name, tag);
                        at = tag.span.end;
                    }
                }
                Markup::Close(name) => {
                    if is_frame(name) {
                        let tag = scan::tag(self.text, found.span.start);
                        self.close(name, tag.span);
                        at = tag.span.end;
                    }
                }
                Markup::Comment => self.comment(found.span),
                Markup::Broken(problem) => {
                    self.outline.broken = true;
                    // Within a chunk the chunk's own reading tells it.
                    if self.open.is_none() {
                        self.slip(
                            found.span,
                            problem,
                            "a sign that ends, as in <!-- words -->; `&lt;` where a < is meant",
                            Lost::Notes,
                        );
                    }
                }
                // Between measures it is told with what follows it.
                Markup::Stray => {}
                Markup::Doctype | Markup::Other => self.pass(found.span),
            }
        }
        self.finish(other_root);
    }

    /// Whether it holds as much as is read.
    fn is_full(&self) -> bool {
        self.outline.chunks.len() > MOST_BARS
            || self.rows > MOST_BARS
            || self.columns.len() > MOST_PARTS
    }

    /// Something outside chunks that is as it should be.
    fn pass(&mut self, span: Span) {
        if self.open.is_none() {
            self.stray(span.start);
            self.gap = span.end;
        }
    }

    /// Tells text between things that stand between measures.
    fn stray(&mut self, end: usize) {
        if self.outline.chunks.is_empty() && self.outer.is_none() {
            return;
        }
        let text = self.text;
        let between = text.get(self.gap..end).unwrap_or_default();
        let words = between.trim();
        if words.is_empty() {
            return;
        }
        let start = self.gap + (between.len() - between.trim_start().len());
        let lost = if words.contains("<note") {
            Lost::Notes
        } else {
            Lost::NoNotes
        };
        self.slip(
            Span::new(start, start + words.len()),
            "this stands between measures, where nothing is read",
            "measures next to each other, <measure number=\"1\">…</measure>",
            lost,
        );
    }

    fn comment(&mut self, span: Span) {
        if self.open.is_some() {
            return;
        }
        let in_header =
            self.outline.root.is_some() && self.outer.is_none() && self.outline.chunks.is_empty();
        if !in_header {
            self.outline.comments.push(span);
        }
        self.pass(span);
    }

    fn open(&mut self, name: &str, tag: scan::Tag) {
        let text = self.text.get(tag.span.range()).unwrap_or_default();
        let Some((layout, _)) = self.outline.root else {
            let layout = match name {
                "score-partwise" => Layout::Partwise,
                "score-timewise" => Layout::Timewise,
                _ => return,
            };
            self.outline.root = Some((layout, tag.span));
            self.outline.header = Span::new(tag.span.end, tag.span.end);
            self.gap = tag.span.end;
            self.unended_tag(tag);
            return;
        };
        if name == layout.outer() {
            self.close_chunk(tag.span.start, 0);
            self.begin_music(tag.span.start);
            self.stray(tag.span.start);
            if self.outer.is_some() {
                self.unended_outer();
            }
            self.outer(layout, text, tag);
        } else if name == layout.chunk() {
            self.close_chunk(tag.span.start, 0);
            self.begin_music(tag.span.start);
            self.stray(tag.span.start);
            self.chunk(layout, text, tag);
        }
        self.gap = tag.span.end;
        self.unended_tag(tag);
    }

    fn unended_tag(&mut self, tag: scan::Tag) {
        if !tag.whole {
            self.slip(
                tag.span,
                "this tag has no end",
                "attributes in quotes and a closing >, as in <measure number=\"1\">",
                Lost::Notes,
            );
        }
    }

    /// The header ends where the first part or measure begins.
    fn begin_music(&mut self, at: usize) {
        if self.outer.is_none() && self.outline.chunks.is_empty() {
            self.outline.header.end = at;
            self.gap = at;
        }
    }

    fn outer(&mut self, layout: Layout, text: &str, tag: scan::Tag) {
        let key = match layout {
            Layout::Partwise => "id",
            Layout::Timewise => "number",
        };
        let id = self.named(text, key, tag.span);
        self.outer = (!tag.empty).then(|| Outer {
            id,
            implicit: is_implicit(text),
            span: tag.span,
        });
        if layout == Layout::Timewise {
            self.rows += 1;
        }
    }

    /// An attribute that must be there.
    fn named(&mut self, text: &str, key: &str, span: Span) -> Arc<str> {
        if let Some(value) = scan::attribute(text, key) {
            return value.into();
        }
        let example = if key == "id" {
            "an id that the part-list knows, as in id=\"P1\""
        } else {
            "the measure's number, as in number=\"1\""
        };
        // Without its id nobody knows whose notes these are.
        let lost = if key == "id" {
            Lost::Notes
        } else {
            Lost::NoNotes
        };
        self.slip(span, format!("this tag has no `{key}`"), example, lost);
        "".into()
    }

    fn chunk(&mut self, layout: Layout, text: &str, tag: scan::Tag) {
        let Some(outer) = &self.outer else {
            self.slip(
                tag.span,
                format!("this {} stands in no {}", layout.chunk(), layout.outer()),
                format!("<{}> around it", layout.outer()),
                Lost::Notes,
            );
            return;
        };
        let (outer_id, outer_implicit) = (Arc::clone(&outer.id), outer.implicit);
        let (part, number, implicit, column) = match layout {
            Layout::Partwise => {
                let number = self.named(text, "number", tag.span);
                let column = self.column(&outer_id);
                (outer_id, number, is_implicit(text), column)
            }
            Layout::Timewise => {
                let part = self.named(text, "id", tag.span);
                (part, outer_id, outer_implicit, self.rows.saturating_sub(1))
            }
        };
        let chunk = Chunk {
            span: tag.span,
            head: tag.span.len(),
            tail: 0,
            part,
            column,
            number,
            implicit,
        };
        if tag.empty {
            self.outline.chunks.push(chunk);
        } else {
            self.open = Some(chunk);
        }
    }

    /// The place of a part's next measure.
    fn column(&mut self, part: &Arc<str>) -> usize {
        let place = self.columns.iter().position(|(id, _)| id == part);
        let place = place.unwrap_or_else(|| {
            self.columns.push((Arc::clone(part), 0));
            self.columns.len() - 1
        });
        let count = &mut self.columns[place].1;
        *count += 1;
        *count - 1
    }

    fn close(&mut self, name: &str, span: Span) {
        let Some((layout, _)) = self.outline.root else {
            return;
        };
        if name == layout.chunk() {
            if self.open.is_none() {
                self.stray(span.start);
                self.ends_nothing(name, span);
            }
            self.close_chunk(span.end, span.len());
        } else {
            self.close_chunk(span.start, 0);
            self.stray(span.start);
            if name == layout.outer() {
                if self.outer.take().is_none() {
                    self.ends_nothing(name, span);
                }
            } else if self.outer.is_some() {
                self.unended_outer();
            }
        }
        self.gap = span.end;
    }

    fn ends_nothing(&mut self, name: &str, span: Span) {
        self.slip(
            span,
            format!("`</{name}>` ends nothing"),
            format!("<{name}> before it"),
            Lost::NoNotes,
        );
    }

    fn unended_outer(&mut self) {
        let Some((layout, _)) = self.outline.root else {
            return;
        };
        if let Some(outer) = self.outer.take() {
            self.slip(
                outer.span,
                format!("this {} has no end", layout.outer()),
                format!("</{}> after what it holds", layout.outer()),
                Lost::NoNotes,
            );
        }
    }

    /// Ends the open chunk there; without an end tag of its own it ends after its last sign.
    fn close_chunk(&mut self, end: usize, tail: usize) {
        let Some(mut chunk) = self.open.take() else {
            return;
        };
        let text = self.text.get(chunk.span.start..end).unwrap_or_default();
        chunk.span.end = chunk.span.start + text.trim_end().len();
        chunk.tail = tail;
        if tail == 0 {
            let name = self
                .outline
                .root
                .map_or("measure", |(layout, _)| layout.chunk());
            self.slip(
                Span::new(chunk.span.start, chunk.span.start + chunk.head),
                format!("this {name} has no end"),
                format!("</{name}> after what it holds"),
                Lost::Notes,
            );
        }
        self.gap = chunk.span.end;
        self.outline.chunks.push(chunk);
    }

    fn finish(&mut self, other_root: Option<(Span, &str)>) {
        let end = self.text.len();
        self.close_chunk(end, 0);
        let Some((layout, span)) = self.outline.root else {
            let (span, problem) = match other_root {
                Some((span, name)) => (
                    span,
                    format!("this is no score: its outermost element is <{name}>"),
                ),
                None => (
                    Span::new(0, end.min(1)),
                    "this is no score: it holds no XML element".to_owned(),
                ),
            };
            self.slip(
                span,
                problem,
                "MusicXML, whose outermost element is <score-partwise> or <score-timewise>",
                Lost::Notes,
            );
            return;
        };
        self.unended_outer();
        if self.outline.chunks.is_empty() && self.outline.header.is_empty() {
            self.outline.header.end = end;
        }
        let name = layout.root();
        if self.text.rfind(&format!("</{name}")).is_none() {
            self.slip(
                span,
                format!("`<{name}>` has no end"),
                format!("</{name}> as the last thing in the file"),
                Lost::Notes,
            );
        }
    }
}

fn is_implicit(tag: &str) -> bool {
    scan::attribute(tag, "implicit").is_some_and(|value| value == "yes")
}
