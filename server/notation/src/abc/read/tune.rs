//! One tune: its header, its voices, its lines of music in the order of time.

use std::sync::Arc;

use score::bounds::{MOST_BARS, MOST_PARTS, MOST_UNREADABLE};
use score::{Lost, Piece, Span, Text, Unreadable, hold_unreadable};
use theory::Key;
use tree_sitter::Node;

use super::fields::{Defaults, field_words};
use super::measure::{self, Stretch};
use super::memory::Measures;
use super::state::State;
use super::syntax::{field_letter, field_text, is_field, span_of};
use super::voice::Voice;
use super::{barline, comments, key, slips};
use crate::digest::digest;

/// Reads a tune. Measures found in `old` are taken from there.
pub(super) fn read(
    node: Node<'_>,
    text: &str,
    defaults: &Defaults,
    old: Option<Arc<Measures>>,
) -> (Piece, Arc<Measures>) {
    let base = node.start_byte();
    let mut tune = Tune {
        text,
        base,
        defaults: defaults.clone(),
        key: Key::NONE,
        key_span: None,
        key_properties: key::Properties::default(),
        voices: Vec::new(),
        current: None,
        piece: Piece {
            span: Span::new(0, node.end_byte() - base),
            composer: defaults.composer.clone(),
            ..Piece::default()
        },
        head: Span::new(0, 0),
        old,
        measures: Measures::default(),
        bars: 0,
        crowded: false,
    };
    let mut cursor = node.walk();
    for part in node.children(&mut cursor) {
        match part.kind() {
            "tune_header" => tune.header(part),
            "tune_body" => tune.body(part),
            _ => {}
        }
        if part.is_error() || part.is_missing() {
            slips::errors(part, text, base, &mut tune.piece.unreadable);
        }
    }
    tune.finish()
}

struct Tune<'t> {
    text: &'t str,
    /// Where the tune begins in the document.
    base: usize,
    /// What the file header and this header have set.
    defaults: Defaults,
    key: Key,
    key_span: Option<Span>,
    key_properties: key::Properties,
    voices: Vec<Voice>,
    current: Option<usize>,
    piece: Piece,
    /// The field that stands for the whole when no voice is declared.
    head: Span,
    old: Option<Arc<Measures>>,
    measures: Measures,
    /// How many bars all voices have by now.
    bars: usize,
    /// Whether it has more voices than are read.
    crowded: bool,
}

impl Tune<'_> {
    fn header(&mut self, header: Node<'_>) {
        let mut cursor = header.walk();
        let lines: Vec<Node<'_>> = header.children(&mut cursor).collect();
        // Voices take what the header sets, wherever in it they are declared.
        for line in &lines {
            self.header_line(*line);
        }
        for line in lines {
            if line.kind() == "voice_field" {
                self.voice_field(line);
            }
        }
        // The first declared voice is the one that speaks until another is called.
        self.current = (!self.voices.is_empty()).then_some(0);
        if self.defaults.tempo.is_some() && self.piece.tempo.is_none() {
            // A tempo of the file header stands outside the piece; its start stands for it.
            self.piece.tempo = self
                .defaults
                .tempo
                .clone()
                .map(|mark| (mark, Span::new(0, 0)));
        }
    }

    fn header_line(&mut self, line: Node<'_>) {
        let place = span_of(line, self.base);
        match line.kind() {
            "comment" => self.comment(line),
            "reference_number_field" => self.head = place,
            "title_field" => {
                let words = field_words(line, self.text, self.base);
                // A second title names the movement.
                if self.piece.title.is_some() {
                    self.piece.movement = self.piece.movement.take().or(words);
                } else {
                    self.piece.title = words;
                }
            }
            "key_field" => {
                self.key = key::signature(line, self.text).unwrap_or(Key::NONE);
                self.key_span = Some(place);
                self.key_properties = key::properties(line, self.text);
                self.head = place;
            }
            "text_field" if field_letter(line, self.text) == Some('C') => {
                self.piece.composer = field_words(line, self.text, self.base);
            }
            "header_text" | "music_line" => self.piece.unreadable.push(Unreadable {
                span: place,
                problem: "this line in the header is no field".to_owned(),
                expected: "K: as the header's last field before the music".to_owned(),
                lost: if line.kind() == "music_line" {
                    Lost::Notes
                } else {
                    Lost::NoNotes
                },
                part: None,
            }),
            _ => self.defaults.take(line, self.text),
        }
        if line.kind() == "tempo_field" {
            let tempo = self.defaults.tempo.clone().map(|mark| (mark, place));
            self.piece.tempo = tempo.or(self.piece.tempo.take());
        }
        if is_field(line) || matches!(line.kind(), "directive" | "field_continuation") {
            slips::in_field(line, self.text, self.base, &mut self.piece.unreadable);
        } else if line.has_error() {
            slips::errors(line, self.text, self.base, &mut self.piece.unreadable);
        }
    }

    fn comment(&mut self, node: Node<'_>) {
        let directive = comments::directive(node, self.text, self.base);
        self.piece.directives.extend(directive);
    }

    fn state(&self) -> State {
        State {
            key: self.key,
            meter: self.defaults.meter.flatten(),
            unit: self.defaults.unit(),
            octave: self.key_properties.octave.unwrap_or(0),
            transpose: self
                .key_properties
                .transpose
                .map(|(semitones, _)| semitones),
            propagation: self.defaults.propagation,
            symbols: self.defaults.symbols.clone(),
            bang_breaks: self.defaults.bang_breaks,
            accidentals: std::collections::BTreeMap::new(),
            ties: Vec::new(),
            slurs: 0,
            tuplet: None,
            broken: None,
            at: theory::Quarters::ZERO,
            layer: 0,
        }
    }

    /// The voice of an id, made when it is new.
    fn voice(&mut self, id: &str, head: Span) -> usize {
        if let Some(index) = self.voices.iter().position(|voice| voice.id == id) {
            return index;
        }
        self.crowded = self.voices.len() >= MOST_PARTS;
        if self.crowded {
            return MOST_PARTS - 1;
        }
        let mut voice = Voice::new(id, head, self.state());
        voice.transpose = self
            .key_properties
            .transpose
            .map(|(semitones, span)| (semitones, span.relative_to(self.base)));
        voice.clef = self.key_properties.clef;
        self.voices.push(voice);
        self.voices.len() - 1
    }

    /// The voice that speaks now.
    fn speaking(&mut self) -> usize {
        match self.current {
            Some(index) => index,
            None => {
                let index = self.voice("1", self.head);
                self.current = Some(index);
                index
            }
        }
    }

    /// `V:` in header or body: calls a voice, and sets what it says of it.
    fn voice_field(&mut self, node: Node<'_>) {
        let Some(id) = field_text(node, "voice", self.text) else {
            return;
        };
        let index = self.voice(id, span_of(node, self.base));
        self.current = Some(index);
        let properties = key::properties(node, self.text);
        let base = self.base;
        let voice = &mut self.voices[index];
        let silent = voice.is_silent();
        let said = |said: Option<(String, Span)>| {
            said.map(|(text, span)| Text {
                text,
                span: span.relative_to(base),
            })
        };
        // What stands in the music speaks of the music after it.
        for (place, said) in [
            (&mut voice.name, said(properties.name)),
            (&mut voice.subname, said(properties.subname)),
        ] {
            if silent || place.is_none() {
                *place = said.or(place.take());
            }
        }
        if silent {
            voice.clef = properties.clef.or(voice.clef);
            if let Some((semitones, span)) = properties.transpose {
                voice.transpose = Some((semitones, span.relative_to(base)));
                voice.state.transpose = Some(semitones);
            }
            if let Some(octave) = properties.octave {
                voice.state.octave = octave;
            }
        } else {
            self.field(node);
        }
    }

    fn body(&mut self, body: Node<'_>) {
        let mut cursor = body.walk();
        for line in body.children(&mut cursor) {
            let before = self.piece.unreadable.len();
            match line.kind() {
                "music_line" => self.music(line),
                "comment" => self.comment(line),
                "voice_field" => {
                    slips::in_field(line, self.text, self.base, &mut self.piece.unreadable);
                    self.voice_field(line);
                }
                "lyric_field" | "words_field" | "directive_block" => {}
                "symbol_field" | "field_continuation" | "macro_field" => {
                    slips::in_field(line, self.text, self.base, &mut self.piece.unreadable);
                }
                kind if is_field(line) || kind == "directive" => self.field(line),
                _ if line.has_error() => {
                    slips::errors(line, self.text, self.base, &mut self.piece.unreadable);
                }
                _ => {}
            }
            // What no voice has claimed by itself belongs to the one that speaks; a voice's field may call another.
            if line.kind() != "voice_field" {
                for slip in self.piece.unreadable.iter_mut().skip(before) {
                    slip.part = slip.part.or(self.current);
                }
            }
            if self.bars > MOST_BARS || self.crowded {
                self.piece.unreadable.push(slips::loose(
                    Span::new(line.start_byte(), body.end_byte()).relative_to(self.base),
                    &format!(
                        "this tune has more than {MOST_BARS} bars or {MOST_PARTS} voices, and is read no further"
                    ),
                    "a file for each movement",
                    Lost::Notes,
                ));
                break;
            }
        }
    }

    /// A field that acts in the voice that speaks.
    fn field(&mut self, node: Node<'_>) {
        self.stretch(node.kind(), Span::from(node.byte_range()), || vec![node]);
    }

    fn take(&mut self, index: usize, read: &super::memory::ReadMeasure, start: usize) {
        let base = start - self.base;
        self.piece
            .unreadable
            .extend(read.slips.iter().map(|slip| Unreadable {
                span: slip.span.shifted(base),
                part: Some(index),
                ..slip.clone()
            }));
        if self.piece.unreadable.len() > 2 * MOST_UNREADABLE {
            hold_unreadable(&mut self.piece.unreadable);
        }
        let voice = &mut self.voices[index];
        // What K: says before the first note or rest is the start of the part, not a change in it.
        let start = read.body.events.iter().take_while(|event| {
            !matches!(
                event.kind,
                score::EventKind::Note(_) | score::EventKind::Rest(_)
            )
        });
        let silent = voice.is_silent();
        for event in start.filter(|_| silent) {
            let span = event.span.shifted(base);
            match event.kind {
                score::EventKind::Transposition(recorded) if voice.transpose.is_none() => {
                    voice.transpose = Some((recorded.0.semitones, span));
                }
                score::EventKind::Key(key) => voice.key = Some((key, span)),
                score::EventKind::Clef(clef) => voice.clef = Some(clef),
                _ => {}
            }
        }
        let before = voice.count();
        voice.measure(read, base, (MOST_BARS + 1).saturating_sub(self.bars));
        self.bars += voice.count() - before;
    }

    fn music(&mut self, line: Node<'_>) {
        for item in children(line) {
            match item.kind() {
                "measure" => self.measure(item),
                "barline" => {
                    let read = barline::read(item, self.text, self.base);
                    let index = self.speaking();
                    let voice = &mut self.voices[index];
                    if voice.state.broken.is_some() {
                        self.piece.unreadable.push(slips::loose(
                            read.span,
                            "the broken rhythm before this barline has no note after it",
                            "the > or < between two notes, as in a>b",
                            Lost::Notes,
                        ));
                    }
                    let before = voice.count();
                    voice.barline(read);
                    self.bars += voice.count().saturating_sub(before);
                }
                "comment" => self.comment(item),
                _ if item.has_error() => {
                    slips::errors(item, self.text, self.base, &mut self.piece.unreadable);
                }
                _ => {}
            }
        }
    }

    /// A measure, cut where it calls another voice.
    fn measure(&mut self, node: Node<'_>) {
        let span = Span::from(node.byte_range());
        let text = self.text.get(span.range()).unwrap_or_default();
        if !text.contains("[V:") {
            return self.stretch(node.kind(), span, || children(node));
        }
        let mut stretch: Vec<Node<'_>> = Vec::new();
        for element in children(node) {
            match called_voice(element) {
                Some(field) => {
                    self.part_of_measure(node, std::mem::take(&mut stretch));
                    slips::in_field(field, self.text, self.base, &mut self.piece.unreadable);
                    self.voice_field(field);
                }
                None => stretch.push(element),
            }
        }
        self.part_of_measure(node, stretch);
    }

    fn part_of_measure(&mut self, measure: Node<'_>, nodes: Vec<Node<'_>>) {
        if let (Some(first), Some(last)) = (nodes.first(), nodes.last()) {
            let span = Span::new(first.start_byte(), last.end_byte());
            self.stretch(measure.kind(), span, || nodes);
        }
    }

    /// A stretch of text that belongs to the voice that speaks; its nodes are asked for only when it is new.
    fn stretch<'n>(&mut self, kind: &str, span: Span, nodes: impl FnOnce() -> Vec<Node<'n>>) {
        let index = self.speaking();
        let text = self.text.get(span.range()).unwrap_or_default();
        let key = digest(&(kind, text, &self.voices[index].state));
        let known = self.old.as_ref().and_then(|old| old.get(key)).cloned();
        let read = known.unwrap_or_else(|| {
            let entry = self.voices[index].state.clone();
            let nodes = nodes();
            Arc::new(measure::read(&Stretch { nodes, span }, self.text, entry))
        });
        self.take(index, &read, span.start);
        self.measures.keep(key, read);
    }

    fn finish(mut self) -> (Piece, Arc<Measures>) {
        if self.voices.is_empty() {
            self.speaking();
        }
        let key = self.key_span.map(|span| (self.key, span));
        let meter = self.defaults.meter.flatten();
        self.piece.parts = self
            .voices
            .into_iter()
            .map(|voice| voice.finish(key, meter))
            .collect();
        self.piece.unreadable.sort_by_key(|slip| slip.span);
        self.piece.unreadable.dedup_by_key(|slip| slip.span);
        hold_unreadable(&mut self.piece.unreadable);
        (self.piece, Arc::new(self.measures))
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
