//! One measure: its notes, rests and marks, from what is in force before it.

use std::ops::Range;
use std::sync::Arc;

use score::bounds::{LONGEST, MOST_IN_BAR, MOST_IN_CHORD, MOST_LAYERS, MOST_RESTED, OCTAVES};
use score::{
    Event, EventKind, Lost, Note, Rest, RunBody, Span, Unreadable, WitnessKind, hold_unreadable,
};
use theory::{Interval, Letter, Pitch, Quarters, Transposition, WrittenPitch};
use tree_sitter::Node;

use super::memory::ReadMeasure;
use super::state::{Entry, OpenTie, State, Tuplet};
use super::syntax::{field_text, span_of, text_of};
use super::{fields, key, marks, rhythm, slips, tempo};

/// A stretch of a measure that belongs to one voice, or a field on a line of its own.
pub(super) struct Stretch<'n> {
    pub(super) nodes: Vec<Node<'n>>,
    /// From its first byte to its last, in the document.
    pub(super) span: Span,
}

/// Reads a stretch, given what stands for its text and what is in force before it.
pub(super) fn read(stretch: &Stretch<'_>, text: &str, digest: u128, entry: &Entry) -> ReadMeasure {
    let mut reader = Reader {
        text,
        base: stretch.span.start,
        reach: entry.state.at,
        state: entry.state.clone(),
        events: Vec::new(),
        slips: Vec::new(),
        last: None,
        rest_bars: None,
        full: false,
    };
    for node in &stretch.nodes {
        if reader.full {
            let rest = Span::new(node.start_byte(), stretch.span.end);
            reader.told(
                rest.relative_to(stretch.span.start),
                format!(
                    "this bar holds more than {MOST_IN_BAR} notes and signs, and is read no further"
                ),
                "barlines, as in c2 d2 | e4 |",
            );
            break;
        }
        reader.element(*node);
    }
    hold_unreadable(&mut reader.slips);
    // Bars are kept for as long as the score is.
    reader.events.shrink_to_fit();
    ReadMeasure {
        digest,
        entry: entry.digest,
        body: Arc::new(RunBody::new(reader.events, stretch.span.len())),
        exit: Entry::new(reader.state),
        rest_bars: reader.rest_bars,
        slips: reader.slips.into(),
        reach: reader.reach,
    }
}

struct Reader<'t> {
    text: &'t str,
    /// Where the run begins in the document.
    base: usize,
    state: State,
    reach: Quarters,
    events: Vec<Event>,
    slips: Vec<Unreadable>,
    /// The events of the last note, chord or rest.
    last: Option<Range<usize>>,
    rest_bars: Option<u32>,
    /// Whether it holds as much as a bar can.
    full: bool,
}

impl Reader<'_> {
    fn push(&mut self, node: Node<'_>, kind: EventKind) {
        self.full = self.events.len() >= MOST_IN_BAR;
        if self.full {
            return;
        }
        let offset = self.state.at;
        let span = span_of(node, self.base);
        self.events.push(Event { offset, span, kind });
    }

    /// Tells of something with which notes are lost.
    fn told(&mut self, span: Span, problem: impl Into<String>, expected: &str) {
        self.slips
            .push(slips::loose(span, &problem.into(), expected, Lost::Notes));
    }

    /// A note's or rest's length as far as it is believed.
    fn believed(&mut self, node: Node<'_>, length: Quarters) -> Quarters {
        let said = field_text(node, "length", self.text).unwrap_or_default();
        if length <= LONGEST && rhythm::is_believed(said) {
            return length;
        }
        self.told(
            span_of(node, self.base),
            "this lasts longer, or is cut finer, than any note or rest",
            "a length such as c2, c3/2 or c/, and a rest of many bars as in Z20",
        );
        length.min(LONGEST)
    }

    fn element(&mut self, node: Node<'_>) {
        match node.kind() {
            "note" => self.single(node),
            "chord" => self.chord(node),
            "grace_group" => self.grace(node),
            "rest" => self.rest(node),
            "measure_rest" => self.measure_rest(node),
            "tuplet" => self.tuplet(node),
            "broken_rhythm" => self.broken(node),
            "overlay" => self.overlay(node),
            "inline_field" => {
                let mut cursor = node.walk();
                let fields: Vec<Node<'_>> = node.named_children(&mut cursor).collect();
                for field in fields {
                    self.field(field);
                }
            }
            _ => self.small(node),
        }
    }

    /// What may stand in a chord or grace group as well.
    fn small(&mut self, node: Node<'_>) {
        match node.kind() {
            "plus_decoration" if slips::is_old_chord(node, self.text) => {
                self.slips
                    .push(slips::old_chord(node, self.text, self.base));
            }
            "decoration" | "plus_decoration" | "annotation" | "chord_symbol" => {
                if let Some(mark) = marks::read(node, self.text, self.base, &self.state) {
                    let route = marks::route(&mark);
                    self.push(node, EventKind::Mark(mark));
                    if let Some(route) = route {
                        self.push(node, EventKind::Route(route));
                    }
                }
            }
            "slur_open" => self.state.slurs = self.state.slurs.saturating_add(1),
            "slur_close" => self.slur_close(),
            "loose_tie" => self.slips.push(slips::loose(
                span_of(node, self.base),
                "this tie holds no note",
                "the - right after the note it holds on, as in c2- c",
                Lost::NoNotes,
            )),
            "stray" | "reserved" => self.slips.push(slips::in_music(node, self.text, self.base)),
            "score_linebreak" => self.linebreak(node),
            "directive" => self.field(node),
            _ if super::syntax::is_field(node) => self.field(node),
            _ if node.has_error() || node.is_missing() => {
                slips::errors(node, self.text, self.base, &mut self.slips);
            }
            _ => {}
        }
    }

    /// A `!` that runs into what follows was meant to open a name, unless the file ends lines with it.
    fn linebreak(&mut self, node: Node<'_>) {
        let after = self.text.get(node.end_byte()..).unwrap_or_default();
        let runs_on = after
            .chars()
            .next()
            .is_some_and(|next| !next.is_whitespace() && !"|[]:%\\".contains(next));
        if text_of(node, self.text) == "!" && runs_on && !self.state.bang_breaks {
            self.slips.push(slips::in_music(node, self.text, self.base));
        }
    }

    fn slur_close(&mut self) {
        self.state.slurs = self.state.slurs.saturating_sub(1);
        if self.state.slurs > 0 {
            return;
        }
        let last = self.last.clone().unwrap_or_default();
        for event in self.events.get_mut(last).unwrap_or_default() {
            if let EventKind::Note(note) = &mut event.kind {
                note.slurred_to_next = false;
            }
        }
    }

    /// The factor that tuplet and broken rhythm put on the next note, used up by asking.
    fn take_factor(&mut self) -> Quarters {
        let broken = self.state.broken.take().unwrap_or(Quarters::ONE);
        match self.state.tuplet {
            None => broken,
            Some(tuplet) => {
                self.state.tuplet = (tuplet.left > 1).then(|| Tuplet {
                    left: tuplet.left - 1,
                    ..tuplet
                });
                broken * tuplet.factor
            }
        }
    }

    fn advance(&mut self, length: Quarters) {
        self.state.at += length;
        self.reach = self.reach.max(self.state.at);
    }

    fn single(&mut self, node: Node<'_>) {
        let length = self.state.unit
            * rhythm::factor(field_text(node, "length", self.text))
            * self.take_factor();
        let length = self.believed(node, length);
        let first = self.events.len();
        let Some(tie) = self.note(node, length, false, false) else {
            return;
        };
        self.close_ties(tie.into_iter().collect());
        self.last = Some(first..self.events.len());
        self.advance(length);
    }

    fn chord(&mut self, node: Node<'_>) {
        let outer = rhythm::factor(field_text(node, "length", self.text)) * self.take_factor();
        let held = node.child_by_field_name("tie").is_some();
        let first = self.events.len();
        let (mut length, mut ties, mut notes) = (None, Vec::new(), 0);
        let mut cursor = node.walk();
        let children: Vec<Node<'_>> = node.named_children(&mut cursor).collect();
        for child in children {
            match child.kind() {
                "note" if notes == MOST_IN_CHORD => {
                    let left = Span::new(child.start_byte(), node.end_byte());
                    self.told(
                        left.relative_to(self.base),
                        format!("this chord has more than {MOST_IN_CHORD} notes"),
                        "as many notes as can be played at once, as in [CEG]",
                    );
                    break;
                }
                "note" => {
                    // The chord lasts as long as its first note (section 4.17).
                    let lasts = match length {
                        Some(length) => length,
                        None => {
                            let own = rhythm::factor(field_text(child, "length", self.text));
                            let own = self.believed(child, self.state.unit * own * outer);
                            self.believed(node, own)
                        }
                    };
                    length = Some(lasts);
                    if let Some(tie) = self.note(child, lasts, notes > 0, held) {
                        notes += 1;
                        ties.extend(tie);
                    }
                }
                "grace_group" => self.grace(child),
                "length" | "tie" => {}
                _ => self.small(child),
            }
        }
        self.close_ties(ties);
        self.last = Some(first..self.events.len());
        self.advance(length.unwrap_or(Quarters::ZERO));
    }

    fn grace(&mut self, node: Node<'_>) {
        let mut cursor = node.walk();
        let children: Vec<Node<'_>> = node.named_children(&mut cursor).collect();
        for child in children {
            match child.kind() {
                "note" => self.grace_note(child, false),
                "chord" => {
                    let mut inner = child.walk();
                    let notes: Vec<Node<'_>> = child
                        .named_children(&mut inner)
                        .filter(|note| note.kind() == "note")
                        .collect();
                    for (index, note) in notes.into_iter().enumerate() {
                        self.grace_note(note, index > 0);
                    }
                }
                // Grace notes take no time, so broken rhythm among them changes nothing.
                "broken_rhythm" | "slash" => {}
                _ => self.small(child),
            }
        }
    }

    fn grace_note(&mut self, node: Node<'_>, chord: bool) {
        // A tie passes over grace notes to the note they lead to.
        let ties = std::mem::take(&mut self.state.ties);
        let pitch = self.pitch(node);
        self.state.ties = ties;
        let Some((pitch, from)) = pitch else {
            return;
        };
        let note = Note {
            written: WrittenPitch(pitch),
            sounding: None,
            length: Quarters::ZERO,
            alteration_from: from,
            pitch_span: self.pitch_span(node),
            tied_from: false,
            tied_to: false,
            grace: true,
            chord,
            slurred_to_next: self.state.slurs > 0,
            layer: self.state.layer,
        };
        self.push(node, EventKind::Note(note));
    }

    /// Puts a note of a given length down; gives back the tie it opens, if any. `None` when it is no note.
    fn note(
        &mut self,
        node: Node<'_>,
        length: Quarters,
        chord: bool,
        held: bool,
    ) -> Option<Option<OpenTie>> {
        let (pitch, from) = self.pitch(node)?;
        let layer = self.state.layer;
        let tied_from = self
            .state
            .ties
            .iter()
            .any(|tie| tie.layer == layer && tie.pitch == pitch);
        let tied_to = held || node.child_by_field_name("tie").is_some();
        let note = Note {
            written: WrittenPitch(pitch),
            sounding: None,
            length,
            alteration_from: from,
            pitch_span: self.pitch_span(node),
            tied_from,
            tied_to,
            grace: false,
            chord,
            slurred_to_next: self.state.slurs > 0,
            layer,
        };
        self.push(node, EventKind::Note(note));
        Some(tied_to.then_some(OpenTie { pitch, layer }))
    }

    /// After a note or chord of this layer only the ties it opens are open.
    fn close_ties(&mut self, opened: Vec<OpenTie>) {
        let layer = self.state.layer;
        self.state.ties.retain(|tie| tie.layer != layer);
        self.state.ties.extend(opened);
    }

    fn pitch(&mut self, node: Node<'_>) -> Option<(Pitch, score::AlterationFrom)> {
        let name = field_text(node, "pitch", self.text)?.chars().next()?;
        let letter = Letter::from_char(name)?;
        let marks = field_text(node, "octave", self.text).unwrap_or_default();
        let up = marks.bytes().filter(|&mark| mark == b'\'').count() as i64;
        let down = marks.bytes().filter(|&mark| mark == b',').count() as i64;
        let octave = i64::from(if name.is_ascii_lowercase() { 5 } else { 4 }) + up - down;
        let octave = octave + i64::from(self.state.octave);
        let (lowest, highest) = (i64::from(*OCTAVES.start()), i64::from(*OCTAVES.end()));
        if !(lowest..=highest).contains(&octave) {
            self.told(
                self.pitch_span(node),
                "no instrument has notes in this octave",
                "a few octave marks, as in C,, or c''",
            );
        }
        let octave = octave.clamp(lowest, highest) as i8;
        let accidental = field_text(node, "accidental", self.text).map(key::sign);
        let (alteration, from) = self.state.alter(letter, octave, accidental);
        Some((Pitch::new(letter, alteration, octave), from))
    }

    /// Accidental, letter and octave marks.
    fn pitch_span(&self, node: Node<'_>) -> Span {
        let whole = span_of(node, self.base);
        let end = ["octave", "pitch"]
            .into_iter()
            .find_map(|field| node.child_by_field_name(field))
            .map_or(whole.end, |last| span_of(last, self.base).end);
        Span::new(whole.start, end)
    }

    fn rest(&mut self, node: Node<'_>) {
        let length = self.state.unit
            * rhythm::factor(field_text(node, "length", self.text))
            * self.take_factor();
        let length = self.believed(node, length);
        let visible = field_text(node, "kind", self.text) != Some("x");
        let whole_bar =
            self.state.at.is_zero() && self.state.meter.is_some_and(|meter| meter.bar() == length);
        let first = self.events.len();
        self.push_rest(node, length, visible, whole_bar);
        self.last = Some(first..self.events.len());
        self.close_ties(Vec::new());
        self.advance(length);
    }

    fn push_rest(&mut self, node: Node<'_>, length: Quarters, visible: bool, whole_bar: bool) {
        let rest = Rest {
            length,
            visible,
            whole_bar,
            layer: self.state.layer,
        };
        self.push(node, EventKind::Rest(rest));
    }

    fn measure_rest(&mut self, node: Node<'_>) {
        let bars = field_text(node, "count", self.text)
            .map_or(1, |count| count.parse().unwrap_or(u32::MAX))
            .max(1);
        if bars > MOST_RESTED {
            self.told(
                span_of(node, self.base),
                format!(
                    "this rest of {bars} bars is longer than any, and read as one of {MOST_RESTED}"
                ),
                "the number of bars, as in Z20",
            );
        }
        let bars = bars.min(MOST_RESTED);
        let length = self
            .state
            .meter
            .map_or(Quarters::whole(4), theory::Meter::bar);
        let visible = field_text(node, "kind", self.text) != Some("X");
        self.push_rest(node, length, visible, true);
        self.rest_bars = Some(self.rest_bars.unwrap_or(0).saturating_add(bars));
        self.close_ties(Vec::new());
        self.advance(length);
    }

    fn tuplet(&mut self, node: Node<'_>) {
        match rhythm::tuplet(node, self.text, self.state.meter) {
            Some((left, factor)) => self.state.tuplet = Some(Tuplet { left, factor }),
            None => self.slips.push(slips::loose(
                span_of(node, self.base),
                "this tuplet is of no notes, or of more than can be played",
                "how many notes, as in (3 before three notes",
                Lost::Notes,
            )),
        }
    }

    fn broken(&mut self, node: Node<'_>) {
        let Some(last) = self.last.clone() else {
            self.slips.push(slips::loose(
                span_of(node, self.base),
                "this broken rhythm has no note before it",
                "the > or < between two notes, as in a>b",
                Lost::Notes,
            ));
            return;
        };
        let signs = text_of(node, self.text);
        if signs.len() > rhythm::MOST_BROKEN {
            self.told(
                span_of(node, self.base),
                format!(
                    "this broken rhythm has {} signs, of which three are read",
                    signs.len()
                ),
                "one to three signs between two notes, as in a>b",
            );
        }
        let (before, after) = rhythm::broken(signs);
        let mut change = Quarters::ZERO;
        for event in self.events.get_mut(last.clone()).unwrap_or_default() {
            let length = match &mut event.kind {
                EventKind::Note(note) if !note.grace => &mut note.length,
                EventKind::Rest(rest) => &mut rest.length,
                _ => continue,
            };
            change = *length * before - *length;
            *length = *length * before;
        }
        // Grace notes and marks that came in between move with the end of the note.
        for event in self.events.get_mut(last.end..).unwrap_or_default() {
            event.offset += change;
        }
        self.state.at += change;
        self.reach = self.reach.max(self.state.at);
        self.state.broken = Some(after);
    }

    fn overlay(&mut self, node: Node<'_>) {
        let depth = u8::try_from(text_of(node, self.text).len()).unwrap_or(u8::MAX);
        let layer = self.state.layer.saturating_add(depth);
        if layer >= MOST_LAYERS {
            self.told(
                span_of(node, self.base),
                format!("this bar has more than {MOST_LAYERS} lines at the same time"),
                "another voice for other players, as in V:2",
            );
        } else if depth > 1 {
            self.told(
                span_of(node, self.base),
                "this goes back over more than one bar, which is not followed here",
                "one & in each bar, as in c4 & e4 | d4 & f4 |",
            );
        }
        self.state.layer = layer.min(MOST_LAYERS - 1);
        self.state.at = Quarters::ZERO;
        // Each line keeps its own accidentals; the standard is silent on it.
        self.state.accidentals.clear();
        self.state.tuplet = None;
        self.last = None;
    }

    fn field(&mut self, node: Node<'_>) {
        slips::in_field(node, self.text, self.base, &mut self.slips);
        match node.kind() {
            "key_field" => self.key(node),
            "meter_field" => {
                if let Some(meter) = rhythm::meter(node, self.text) {
                    self.state.meter = meter;
                    self.push(node, EventKind::Meter(meter));
                }
            }
            // A change of metre does not change the unit length (section 3.1.7).
            "unit_length_field" => {
                if let Some(unit) = rhythm::unit(node, self.text) {
                    self.state.unit = unit;
                }
            }
            "tempo_field" => {
                if let Some(mark) = tempo::mark(node, self.text, self.state.unit) {
                    self.push(node, EventKind::Tempo(mark));
                }
            }
            "parts_field" => {
                if let Some(words) = fields::field_words(node, self.text, self.base) {
                    self.push(node, EventKind::Section(words.text));
                }
            }
            "voice_field" => self.properties(node),
            "user_symbol_field" => {
                if let Some((letter, meaning)) = fields::user_symbol(node, self.text) {
                    self.state.symbols.insert(letter, meaning);
                }
            }
            "instruction_field" | "directive" => {
                if let Some(propagation) = fields::propagation(node, self.text) {
                    self.state.propagation = propagation;
                }
                if fields::setting(node, "newpage", self.text).is_some() {
                    self.push(node, EventKind::PageBreak);
                }
            }
            _ => {}
        }
    }

    fn key(&mut self, node: Node<'_>) {
        if let Some(key) = key::signature(node, self.text) {
            self.state.key = key;
            self.push(node, EventKind::Key(key));
        }
        self.properties(node);
    }

    fn properties(&mut self, node: Node<'_>) {
        let properties = key::properties(node, self.text);
        if let Some(octave) = properties.octave {
            self.state.octave = octave;
        }
        if let Some(clef) = properties.clef {
            self.push(node, EventKind::Clef(clef));
        }
        for (kind, said) in [
            (WitnessKind::Name, properties.name),
            (WitnessKind::Abbreviation, properties.subname),
        ] {
            if let Some((text, span)) = said.filter(|(text, _)| !text.trim().is_empty()) {
                self.events.push(Event {
                    offset: self.state.at,
                    span: span.relative_to(self.base),
                    kind: EventKind::Witness(kind, text),
                });
            }
        }
        if let Some((semitones, span)) = properties.transpose
            && self.state.transpose != Some(semitones)
        {
            self.state.transpose = Some(semitones);
            self.events.push(Event {
                offset: self.state.at,
                span: span.relative_to(self.base),
                kind: EventKind::Transposition(Transposition(Interval::from_semitones(semitones))),
            });
        }
    }
}
