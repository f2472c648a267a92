//! Finding the nodes, parts and notes that an intent names.

use std::ops::Range;

use score::{Bar, Event, EventKind, Part, PartRef, PlacedPiece, Span};
use theory::Key;
use tree_sitter::Node;

use super::{Source, cannot};
use crate::edit::CannotWrite;
use crate::writing::notes::Written;

/// A thing on a part's way that decides how its notes are read, in document bytes.
pub(super) enum Step<'a> {
    /// A key signature.
    Key(Span, Key),
    /// A note.
    Note(Written<'a>),
    /// A rest, and the line of its bar that it is in: ties end there.
    Rest(u8),
}

/// A part with where its piece begins and how many parts that has.
#[derive(Clone, Copy)]
pub(super) struct FoundPart<'a> {
    /// The part.
    pub part: &'a Part,
    /// Its piece.
    pub placed: &'a PlacedPiece,
    /// Its place in the piece.
    pub index: usize,
}

impl<'a> FoundPart<'a> {
    /// Keys, notes and rests in order.
    pub(super) fn steps(self) -> impl Iterator<Item = Step<'a>> {
        self.steps_in(0..self.part.bars.len())
    }

    /// Those of some bars.
    pub(super) fn steps_in(self, bars: Range<usize>) -> impl Iterator<Item = Step<'a>> {
        let base = self.placed.base;
        let numbered = self.part.bars.iter().enumerate().take(bars.end);
        let events = numbered
            .skip(bars.start)
            .flat_map(|(index, bar)| bar.events(index));
        events.filter_map(move |placed| {
            let event: &Event = placed.event;
            match &event.kind {
                EventKind::Key(key) => Some(Step::Key(placed.span().shifted(base), *key)),
                EventKind::Rest(rest) => Some(Step::Rest(rest.layer)),
                _ => Written::of(&placed, base).map(Step::Note),
            }
        })
    }

    /// The notes in order.
    pub(super) fn notes(self) -> impl Iterator<Item = Written<'a>> {
        self.steps().filter_map(|step| match step {
            Step::Note(note) => Some(note),
            Step::Key(..) | Step::Rest(_) => None,
        })
    }

    /// The notes of the bars that any of these spans touches.
    fn notes_near(self, spans: &[Span]) -> impl Iterator<Item = Written<'a>> {
        let base = self.placed.base;
        let near = move |bar: &Bar| {
            let bar = bar.span().map(|bar| bar.shifted(base));
            bar.is_some_and(|bar| spans.iter().any(|span| span.meets(bar)))
        };
        let bars = self.part.bars.iter().enumerate();
        bars.filter(move |(_, bar)| near(bar))
            .flat_map(|(index, bar)| bar.events(index))
            .filter_map(move |placed| Written::of(&placed, base))
    }

    /// The first note or rest, in document bytes.
    pub(super) fn first_sound(self) -> Option<Span> {
        self.part
            .events()
            .find(|placed| matches!(placed.event.kind, EventKind::Note(_) | EventKind::Rest(_)))
            .map(|placed| placed.span().shifted(self.placed.base))
    }

    /// The other parts of the piece.
    pub(super) fn others(self) -> impl Iterator<Item = Self> {
        (self.placed.piece.parts.iter().enumerate())
            .filter(move |(index, _)| *index != self.index)
            .map(move |(index, part)| Self {
                part,
                placed: self.placed,
                index,
            })
    }

    /// The key signature that the first note is read in, and where it stands; `None` in a tune without any.
    pub(super) fn start_key(self) -> Option<(Span, Key)> {
        let (key, span) = self.part.key?;
        Some((span.shifted(self.placed.base), key))
    }

    /// All key fields that the part's notes are read in, each once, and what they say.
    pub(super) fn keys(self) -> Vec<(Span, Key)> {
        let start = self.start_key();
        let own = self.steps().filter_map(|step| match step {
            Step::Key(span, key) => Some((span, key)),
            _ => None,
        });
        let later = own.filter(|(span, _)| start.is_none_or(|(first, _)| first != *span));
        start.into_iter().chain(later).collect()
    }
}

impl<'a> Source<'a> {
    /// The part that is meant.
    pub(super) fn part(&self, part: PartRef) -> Result<FoundPart<'a>, CannotWrite> {
        let found = self.score.pieces.get(part.piece).and_then(|placed| {
            Some(FoundPart {
                part: placed.piece.parts.get(part.part)?,
                placed,
                index: part.part,
            })
        });
        found.map_or_else(|| cannot("there is no such part in this file"), Ok)
    }

    /// The last key signature in the music of a part before one of its bars.
    pub(super) fn key_before(&self, part: FoundPart<'a>, bar: usize) -> Option<(Span, Key)> {
        let mut known = self.keys.borrow_mut();
        let keys = known
            .entry(std::ptr::from_ref(part.part).addr())
            .or_insert_with(|| {
                let base = part.placed.base;
                let keys = part
                    .part
                    .events()
                    .filter_map(|placed| match placed.event.kind {
                        EventKind::Key(key) => Some((placed.bar, placed.span().shifted(base), key)),
                        _ => None,
                    });
                keys.collect()
            });
        let before = keys.partition_point(|(at, ..)| *at < bar).checked_sub(1)?;
        keys.get(before).map(|(_, span, key)| (*span, *key))
    }

    /// Every part of every piece.
    pub(super) fn parts(&self) -> impl Iterator<Item = FoundPart<'a>> {
        self.score.pieces.iter().flat_map(|placed| {
            (placed.piece.parts.iter().enumerate()).map(move |(index, part)| FoundPart {
                part,
                placed,
                index,
            })
        })
    }

    /// The parts that hold any note at a place, each with those notes.
    ///
    /// A span that is a note's own names that note; a wider one names all the notes whose pitch lies in it.
    pub(super) fn notes_at(
        &self,
        spans: &[Span],
    ) -> Result<Vec<(FoundPart<'a>, Vec<Written<'a>>)>, CannotWrite> {
        let near: Vec<(FoundPart<'a>, Written<'a>)> = self
            .parts()
            .filter(|part| {
                let piece = part.placed.piece.span.shifted(part.placed.base);
                spans.iter().any(|span| span.meets(piece))
            })
            .flat_map(|part| part.notes_near(spans).map(move |note| (part, note)))
            .filter(|(_, note)| spans.iter().any(|span| span.meets(note.span)))
            .collect();
        let mut chosen: Vec<(FoundPart<'a>, Vec<Written<'a>>)> = Vec::new();
        for span in spans {
            let tests: [&dyn Fn(&Written<'a>) -> bool; 3] = [
                &|note| note.span == *span,
                &|note| note.pitch_span == *span,
                &|note| span.start <= note.pitch_span.start && note.pitch_span.end <= span.end,
            ];
            let hits: Vec<_> = tests
                .iter()
                .map(|test| {
                    near.iter()
                        .filter(|(_, note)| test(note))
                        .collect::<Vec<_>>()
                })
                .find(|hits| !hits.is_empty())
                .unwrap_or_default();
            if hits.is_empty() {
                return cannot("there is no note at that place any more");
            }
            for (part, note) in hits {
                let same = |(known, _): &&mut (FoundPart<'a>, Vec<Written<'a>>)| {
                    std::ptr::eq(known.part, part.part)
                };
                match chosen.iter_mut().find(same) {
                    Some((_, notes)) => notes.push(*note),
                    None => chosen.push((*part, vec![*note])),
                }
            }
        }
        Ok(chosen)
    }

    /// The text of a node.
    pub(super) fn text_of(&self, node: Node<'_>) -> &'a str {
        self.text.get(node.byte_range()).unwrap_or_default()
    }

    /// The tune that holds a part.
    pub(super) fn tune_of(&self, part: FoundPart<'_>) -> Result<Node<'a>, CannotWrite> {
        let piece = part.placed.piece.span.shifted(part.placed.base);
        let root = self.tree.root_node();
        let mut cursor = root.walk();
        let tune = root.children(&mut cursor).find(|node| {
            node.kind() == "tune" && node.start_byte() < piece.end && piece.start < node.end_byte()
        });
        tune.map_or_else(|| cannot("the tune of that part is not there any more"), Ok)
    }

    /// The smallest node around a span that is of one of these kinds.
    pub(super) fn around(&self, span: Span, kinds: &[&str]) -> Option<Node<'a>> {
        let mut node = self
            .tree
            .root_node()
            .descendant_for_byte_range(span.start, span.end)?;
        loop {
            if kinds.contains(&node.kind()) {
                return Some(node);
            }
            node = node.parent()?;
        }
    }

    /// All instructions of a name in the order of the text, be it `%%name value` or `I:name value`.
    ///
    /// One inside the music of a tune speaks to the voice that it stands in alone.
    pub(super) fn instructions(&self, name: &str) -> Vec<Instruction<'a>> {
        if !self.text.contains(name) {
            return Vec::new();
        }
        let mut voice = None;
        let mut found = Vec::new();
        let kinds = ["directive", "instruction_field", "voice_field", "tune"];
        for node in descendants(self.tree.root_node(), &kinds) {
            if node.kind() == "tune" {
                voice = None;
                continue;
            }
            let tune = enclosing(node, "tune").map(|tune| Span::from(tune.byte_range()));
            let in_music = enclosing(node, "tune_body").is_some();
            if node.kind() == "voice_field" {
                if in_music || voice.is_none() {
                    voice = node.child_by_field_name("voice").map(|id| self.text_of(id));
                }
                continue;
            }
            let said = match node.kind() {
                "directive" => node.child_by_field_name("name"),
                _ => node.child_by_field_name("instruction"),
            };
            if said.is_some_and(|said| self.text_of(said) == name)
                && let Some(value) = node.child_by_field_name("value")
            {
                found.push(Instruction {
                    at: node.start_byte(),
                    tune,
                    voice: voice.filter(|_| in_music),
                    value: self.text_of(value).trim(),
                });
            }
        }
        found
    }
}

/// An instruction that stands somewhere before the music it speaks of.
pub(super) struct Instruction<'a> {
    /// Where it stands.
    at: usize,
    /// The tune it is confined to.
    tune: Option<Span>,
    /// The voice it is confined to.
    voice: Option<&'a str>,
    /// What it says.
    pub value: &'a str,
}

impl Instruction<'_> {
    /// Whether a byte is after it, and in its tune if it is confined to one.
    pub(super) fn stands_before(&self, byte: usize) -> bool {
        self.at < byte && self.tune.is_none_or(|tune| tune.touches(byte))
    }

    /// Whether it also speaks to a voice.
    pub(super) fn holds(&self, byte: usize, voice: &str) -> bool {
        self.stands_before(byte) && self.voice.is_none_or(|own| own == voice)
    }
}

/// The nearest node of a kind that holds this one.
pub(super) fn enclosing<'a>(node: Node<'a>, kind: &str) -> Option<Node<'a>> {
    let mut node = node.parent()?;
    while node.kind() != kind {
        node = node.parent()?;
    }
    Some(node)
}

/// All nodes of these kinds within a node, itself included, in the order of the text.
pub(super) fn descendants<'a>(within: Node<'a>, kinds: &[&str]) -> Vec<Node<'a>> {
    let mut found = Vec::new();
    let mut cursor = within.walk();
    loop {
        if kinds.contains(&cursor.node().kind()) {
            found.push(cursor.node());
        }
        if cursor.goto_first_child() {
            continue;
        }
        while !cursor.goto_next_sibling() {
            if !cursor.goto_parent() {
                return found;
            }
        }
    }
}

/// The children of a node.
pub(super) fn children(node: Node<'_>) -> Vec<Node<'_>> {
    let mut cursor = node.walk();
    node.children(&mut cursor).collect()
}
