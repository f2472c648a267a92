//! One tune: its header, its voices, its lines of music in the order of time.

use std::sync::Arc;

use score::bounds::{MOST_BARS, MOST_PARTS, MOST_UNREADABLE};
use score::{Barline, Directive, Lost, Order, Piece, Span, Text, Unreadable, hold_unreadable};
use theory::Key;
use tree_sitter::Node;

use super::fields::{Defaults, field_words};
use super::line::{self, Call, Item, Line, Music, ReadLine};
use super::measure::{self, Stretch};
use super::memory::{Lines, ReadMeasure, Search};
use super::shared::Shared;
use super::state::State;
use super::syntax::{field_letter, is_field, span_of};
use super::voice::Voice;
use super::{comments, key, slips};

/// Reads a tune. Lines and measures found in `old` are taken from there.
pub(super) fn read(
    node: Node<'_>,
    text: &str,
    defaults: &Defaults,
    old: &Arc<Lines>,
) -> (Piece, Arc<Lines>) {
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
        search: Search::new(Arc::default(), &[]),
        shared: Shared::default(),
        lines: Lines::default(),
        bars: 0,
        crowded: false,
    };
    let mut cursor = node.walk();
    for part in node.children(&mut cursor) {
        match part.kind() {
            "tune_header" => tune.header(part),
            "tune_body" => tune.body(part, Arc::clone(old)),
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
    search: Search,
    shared: Shared,
    lines: Lines,
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
            // The last one holds, as of every field that instructs.
            "parts_field" => {
                let words = field_words(line, self.text, self.base);
                let order = words.map(|words| Order::of_letters(&words.text, words.span));
                self.piece.order = order.or(self.piece.order.take());
            }
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

    /// `V:` in the header: declares a voice.
    fn voice_field(&mut self, node: Node<'_>) {
        if let Some(call) = Call::of(node, self.text, self.base) {
            self.call(&call, 0);
        }
    }

    /// Calls a voice by a field whose places count from `base`, and takes what it says of it; whether it speaks to
    /// music that has begun, as a field within it.
    fn call(&mut self, call: &Call, base: usize) -> bool {
        let index = self.voice(&call.id, call.field.span.shifted(base));
        self.current = Some(index);
        let properties = &call.properties;
        let voice = &mut self.voices[index];
        let silent = voice.is_silent();
        // What stands in the music speaks of the music after it.
        for (place, said) in [
            (&mut voice.name, &properties.name),
            (&mut voice.subname, &properties.subname),
        ] {
            if silent || place.is_none() {
                let said = said.as_ref().map(|(text, span)| Text {
                    text: text.clone(),
                    span: span.shifted(base),
                });
                *place = said.or(place.take());
            }
        }
        if silent {
            voice.clef = properties.clef.or(voice.clef);
            if let Some((semitones, span)) = properties.transpose {
                voice.transpose = Some((semitones, span.shifted(base)));
            }
            voice.declare(properties);
        }
        !silent
    }

    fn body(&mut self, body: Node<'_>, old: Arc<Lines>) {
        let mut cursor = body.walk();
        let lines: Vec<(Node<'_>, Option<u128>)> = body
            .children(&mut cursor)
            .map(|line| (line, line::digest_of(line, self.text)))
            .collect();
        let digests: Vec<u128> = lines.iter().filter_map(|(_, digest)| *digest).collect();
        self.search = Search::new(old, &digests);
        for (line, digest) in lines {
            let before = self.piece.unreadable.len();
            self.line(line, digest);
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

    /// Reads a line; its nodes are asked for only where it, or what is in force before it, is new.
    fn line(&mut self, node: Node<'_>, digest: Option<u128>) {
        let known = digest.and_then(|digest| self.search.line(digest).cloned());
        let line = match &known {
            Some(known) => Arc::clone(&known.line),
            None => Arc::new(Line::new(node, self.text, digest)),
        };
        let base = node.start_byte() - self.base;
        // Nothing for as long as all is as it was known.
        let mut measures: Option<Vec<Option<Arc<ReadMeasure>>>> = known.is_none().then(Vec::new);
        for (place, item) in line.items.iter().enumerate() {
            let music = match item {
                Item::Music(music) => Some(music),
                Item::Call(call) => self.call(call, base).then_some(&call.field),
                Item::Barline(barline) => {
                    self.barline(barline, base);
                    None
                }
                Item::Comment(directive) => {
                    self.piece.directives.push(Directive {
                        span: directive.span.shifted(base),
                        ..directive.as_ref().clone()
                    });
                    None
                }
                Item::Unreadable(unreadable) => {
                    self.piece.unreadable.push(unreadable.shifted(base));
                    None
                }
            };
            let known = known.as_ref().map_or(&[][..], |known| &known.measures);
            let known_here = known.get(place).and_then(Option::as_ref);
            let whole = line.digest.is_some();
            let read = music.map(|music| self.music(music, node, known_here, whole));
            if measures.is_none() && !same(read.as_ref(), known_here) {
                measures = Some(known[..place].to_vec());
            }
            if let Some(measures) = &mut measures {
                measures.push(read);
            }
        }
        if line.digest.is_some() {
            let read = match (known, measures) {
                (Some(known), None) => known,
                (_, measures) => Arc::new(ReadLine {
                    line,
                    measures: measures.unwrap_or_default(),
                }),
            };
            self.lines.keep(read);
        }
    }

    /// Takes in music of the voice that speaks: as it is `known`, where the same is in force before it, or as its like was
    /// read, where the texts of both their lines say `all` of them.
    fn music(
        &mut self,
        music: &Music,
        line: Node<'_>,
        known: Option<&Arc<ReadMeasure>>,
        all: bool,
    ) -> Arc<ReadMeasure> {
        let index = self.speaking();
        let entry = &self.voices[index].entry;
        let known = known
            .filter(|known| known.entry == entry.digest)
            .or_else(|| self.search.measure(music.digest, entry.digest));
        let like = self.shared.measure(music.digest, entry.digest);
        let known = known.or(like.filter(|_| all));
        let span = music.span.shifted(line.start_byte());
        let read = match known {
            Some(known) => Arc::clone(known),
            None => {
                let nodes = music.nodes(line);
                let stretch = Stretch { nodes, span };
                let mut read = measure::read(&stretch, self.text, music.digest, entry);
                read.exit = self.shared.exit(read.exit);
                let read = Arc::new(read);
                if all {
                    self.shared.keep(&read);
                }
                read
            }
        };
        self.take(index, &read, span.start);
        read
    }

    fn barline(&mut self, barline: &Barline, base: usize) {
        let index = self.speaking();
        let barline = Barline {
            span: barline.span.shifted(base),
            ..barline.clone()
        };
        let voice = &mut self.voices[index];
        if voice.entry.state.broken.is_some() {
            self.piece.unreadable.push(slips::loose(
                barline.span,
                "the broken rhythm before this barline has no note after it",
                "the > or < between two notes, as in a>b",
                Lost::Notes,
            ));
        }
        let before = voice.count();
        voice.barline(barline);
        self.bars += voice.count().saturating_sub(before);
    }

    fn take(&mut self, index: usize, read: &ReadMeasure, start: usize) {
        let base = start - self.base;
        self.piece
            .unreadable
            .extend(read.slips.iter().map(|slip| Unreadable {
                part: Some(index),
                ..slip.shifted(base)
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

    fn finish(mut self) -> (Piece, Arc<Lines>) {
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
        (self.piece, Arc::new(self.lines))
    }
}

/// Whether what was read is what was known.
fn same(read: Option<&Arc<ReadMeasure>>, known: Option<&Arc<ReadMeasure>>) -> bool {
    match (read, known) {
        (Some(read), Some(known)) => Arc::ptr_eq(read, known),
        (None, None) => true,
        _ => false,
    }
}
