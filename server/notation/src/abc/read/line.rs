//! What one line of a tune's body holds by itself, whatever is in force where it stands.

use std::sync::Arc;

use score::{Barline, Directive, Span, Unreadable};
use tree_sitter::Node;

use super::key::{self, Properties};
use super::memory::ReadMeasure;
use super::syntax::{field_text, is_field};
use super::{barline, comments, slips};
use crate::digest::digest;

/// A line taken apart. All places count from its start.
#[derive(Debug)]
pub(super) struct Line {
    /// What stands for its kind and text; `None` where they do not say all of it.
    pub(super) digest: Option<u128>,
    pub(super) items: Vec<Item>,
}

/// A line, with how its music was last read: for each of its items the measure, where it is music.
#[derive(Debug)]
pub(super) struct ReadLine {
    pub(super) line: Arc<Line>,
    pub(super) measures: Vec<Option<Arc<ReadMeasure>>>,
}

/// One thing on a line.
#[derive(Debug)]
pub(super) enum Item {
    /// Music of the voice that speaks, or a field for it.
    Music(Music),
    Barline(Barline),
    /// `V:`, which calls a voice.
    Call(Box<Call>),
    Comment(Box<Directive>),
    /// What cannot be read and belongs to no measure.
    Unreadable(Box<Unreadable>),
}

/// A stretch of a measure that belongs to one voice, or a field.
#[derive(Debug)]
pub(super) struct Music {
    pub(super) span: Span,
    stands: Stands,
    /// What stands for its kind and text.
    pub(super) digest: u128,
}

/// How music stands on its line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Stands {
    /// It is the line, a field.
    Alone,
    /// It is a measure, or part of one.
    InMeasure,
    /// It is a field in a measure.
    InField,
}

/// A `V:` field that names a voice.
#[derive(Debug)]
pub(super) struct Call {
    pub(super) id: String,
    pub(super) properties: Properties,
    /// The field, where it speaks to a voice that has begun.
    pub(super) field: Music,
}

impl Music {
    fn new(node: Node<'_>, span: Span, stands: Stands, reader: &Reader<'_>) -> Self {
        let words = reader.text.get(span.range()).unwrap_or_default();
        Self {
            span: span.relative_to(reader.base),
            stands,
            digest: digest(&(node.kind(), words)),
        }
    }

    /// Its nodes, on its line.
    pub(super) fn nodes<'n>(&self, line: Node<'n>) -> Vec<Node<'n>> {
        let span = self.span.shifted(line.start_byte());
        let (start, end) = (span.start, span.end);
        let elements = |measure| {
            let mut elements = children(measure);
            elements.retain(|node| start <= node.start_byte() && node.end_byte() <= end);
            elements
        };
        match self.stands {
            Stands::Alone => vec![line],
            Stands::InField => line
                .descendant_for_byte_range(start, end)
                .into_iter()
                .collect(),
            // A line may hold ten thousand measures, each of which is asked for.
            Stands::InMeasure => line
                .first_child_for_byte(start)
                .filter(|node| node.start_byte() <= start && end <= node.end_byte())
                .map_or_else(Vec::new, elements),
        }
    }
}

impl Call {
    /// A `V:` field on a line of the header, placed from `base`; `None` when it names no voice.
    pub(super) fn of(field: Node<'_>, text: &str, base: usize) -> Option<Self> {
        let items = Vec::new();
        Reader { text, base, items }.voice(field, Stands::Alone)
    }
}

/// What stands for a line's kind and text; `None` where something before it on the line, or an error, counts as well.
pub(super) fn digest_of(line: Node<'_>, text: &str) -> Option<u128> {
    let kind = line.kind();
    let words = text.get(line.byte_range()).unwrap_or_default();
    (kind != "comment" && !line.has_error()).then(|| digest(&(kind, words)))
}

impl Line {
    /// Takes a line apart, given what stands for it.
    pub(super) fn new(line: Node<'_>, text: &str, digest: Option<u128>) -> Self {
        let mut reader = Reader {
            text,
            base: line.start_byte(),
            items: Vec::new(),
        };
        reader.line(line);
        // Lines are kept for as long as the document is.
        reader.items.shrink_to_fit();
        Self {
            digest,
            items: reader.items,
        }
    }
}

struct Reader<'t> {
    text: &'t str,
    /// Where the line begins in the document.
    base: usize,
    items: Vec<Item>,
}

impl Reader<'_> {
    fn line(&mut self, line: Node<'_>) {
        match line.kind() {
            "music_line" => self.music_line(line),
            "comment" => self.comment(line),
            "voice_field" => self.call(line, Stands::Alone),
            "lyric_field" | "words_field" | "directive_block" => {}
            "symbol_field" | "field_continuation" | "macro_field" => self.field_errors(line),
            kind if is_field(line) || kind == "directive" => {
                self.music(line, Span::from(line.byte_range()), Stands::Alone);
            }
            _ => self.errors(line),
        }
    }

    fn music_line(&mut self, line: Node<'_>) {
        for item in children(line) {
            match item.kind() {
                "measure" => self.measure(item),
                "barline" => self
                    .items
                    .push(Item::Barline(barline::read(item, self.text, self.base))),
                "comment" => self.comment(item),
                _ => self.errors(item),
            }
        }
    }

    /// A measure, cut where it calls another voice.
    fn measure(&mut self, node: Node<'_>) {
        let span = Span::from(node.byte_range());
        let text = self.text.get(span.range()).unwrap_or_default();
        if !text.contains("[V:") {
            return self.music(node, span, Stands::InMeasure);
        }
        let mut stretch: Option<Span> = None;
        for element in children(node) {
            match called_voice(element) {
                Some(field) => {
                    if let Some(span) = stretch.take() {
                        self.music(node, span, Stands::InMeasure);
                    }
                    self.call(field, Stands::InField);
                }
                None => {
                    let start = stretch.map_or(element.start_byte(), |span| span.start);
                    stretch = Some(Span::new(start, element.end_byte()));
                }
            }
        }
        if let Some(span) = stretch {
            self.music(node, span, Stands::InMeasure);
        }
    }

    fn music(&mut self, node: Node<'_>, span: Span, stands: Stands) {
        let music = Music::new(node, span, stands, self);
        self.items.push(Item::Music(music));
    }

    fn voice(&self, field: Node<'_>, stands: Stands) -> Option<Call> {
        Some(Call {
            id: field_text(field, "voice", self.text)?.to_owned(),
            properties: key::properties(field, self.text).relative_to(self.base),
            field: Music::new(field, Span::from(field.byte_range()), stands, self),
        })
    }

    fn call(&mut self, field: Node<'_>, stands: Stands) {
        self.field_errors(field);
        let call = self.voice(field, stands);
        self.items.extend(call.map(Box::new).map(Item::Call));
    }

    fn comment(&mut self, node: Node<'_>) {
        let directive = comments::directive(node, self.text, self.base);
        self.items
            .extend(directive.map(Box::new).map(Item::Comment));
    }

    fn field_errors(&mut self, field: Node<'_>) {
        let mut found = Vec::new();
        slips::in_field(field, self.text, self.base, &mut found);
        self.items
            .extend(found.into_iter().map(Box::new).map(Item::Unreadable));
    }

    fn errors(&mut self, node: Node<'_>) {
        if node.has_error() {
            let mut found = Vec::new();
            slips::errors(node, self.text, self.base, &mut found);
            self.items
                .extend(found.into_iter().map(Box::new).map(Item::Unreadable));
        }
    }
}

fn children(node: Node<'_>) -> Vec<Node<'_>> {
    let mut cursor = node.walk();
    node.children(&mut cursor).collect()
}

/// The `V:` field of an element that calls a voice within a line.
fn called_voice(element: Node<'_>) -> Option<Node<'_>> {
    if element.kind() != "inline_field" {
        return None;
    }
    let mut cursor = element.walk();
    element
        .named_children(&mut cursor)
        .find(|field| field.kind() == "voice_field")
}
