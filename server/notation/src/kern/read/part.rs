//! A `**kern` spine as it grows, record by record, into a part.

use std::collections::HashMap;
use std::sync::Arc;

use horn::{Crook, CrookName, PartName, read_name};
use score::{
    Bar, Barline, Clef, ClefKind, Event, EventKind, MarkKind, Part, Run, RunBody, Span, Text,
};
use theory::{Alteration, Interval, Key, Letter, Meter, Quarters, Transposition};

use super::super::grid::Spine;
use super::super::interpretation::{Naming, moved_key, naming};
use super::super::transposing::{self, Reading, Said};

/// A part that is being read. Spans count from the start of the piece until a bar is closed.
pub(super) struct PartBuilder {
    id: String,
    head: Span,
    name: Option<Text>,
    short: Option<Text>,
    code: Option<Text>,
    /// The signature in force at the level of the data.
    key: Option<(Key, Span)>,
    /// The signature in force on the page.
    pub(super) written_key: Key,
    said: Said,
    reading: Reading,
    /// A transposition that puts the data an octave above any horn.
    octave_high: Option<Span>,
    /// Whether what it says of key, name or transposition has changed since it was last weighed.
    unsettled: bool,
    meter: Option<Meter>,
    clef: Option<Clef>,
    /// What stood at the start, once music has begun.
    start: Option<Start>,
    bars: Vec<Bar>,
    events: Vec<Event>,
    /// Events whose time the next data record tells begin here.
    pending: usize,
    /// Alterations written in this bar, by letter and octave.
    pub(super) accidentals: HashMap<(Letter, i8), Alteration>,
    /// Slurs open in each branch.
    pub(super) slurs: HashMap<usize, i32>,
}

/// What holds at the start of a part.
#[derive(Default)]
struct Start {
    key: Option<(Key, Span)>,
    meter: Option<Meter>,
    clef: Option<Clef>,
    reading: Reading,
}

/// A bar's outer shape, alike in all parts.
pub(super) struct Frame {
    pub(super) number: u32,
    pub(super) onset: Quarters,
    pub(super) length: Quarters,
    /// Where its text begins and ends.
    pub(super) text: Span,
}

impl PartBuilder {
    pub(super) fn new(spine: &Spine) -> Self {
        Self {
            id: spine.column.to_string(),
            head: spine.head,
            name: None,
            short: None,
            code: None,
            key: None,
            written_key: Key::NONE,
            said: Said::default(),
            reading: Reading::default(),
            octave_high: None,
            unsettled: true,
            meter: None,
            clef: None,
            start: None,
            bars: Vec::new(),
            events: Vec::new(),
            pending: 0,
            accidentals: HashMap::new(),
            slurs: HashMap::new(),
        }
    }

    /// What leads from the data to the page.
    pub(super) const fn up(&self) -> Interval {
        self.reading.up
    }

    /// The metre in force.
    pub(super) const fn meter(&self) -> Option<Meter> {
        self.meter
    }

    /// Puts an event down whose time the next data record tells.
    pub(super) fn push_pending(&mut self, span: Span, kind: EventKind) {
        let again = self.events[self.pending..]
            .iter()
            .any(|event| event.kind == kind);
        if !again {
            self.push(Quarters::ZERO, span, kind);
        }
    }

    /// Puts an event down.
    pub(super) fn push(&mut self, offset: Quarters, span: Span, kind: EventKind) {
        self.events.push(Event { offset, span, kind });
    }

    /// Tells the events that have waited for it their time.
    pub(super) fn time(&mut self, offset: Quarters) {
        for event in &mut self.events[self.pending..] {
            event.offset = offset;
        }
        self.pending = self.events.len();
    }

    /// All events up to now have their time.
    pub(super) const fn timed(&mut self) {
        self.pending = self.events.len();
    }

    pub(super) fn name(&mut self, cell: &str, span: Span) {
        let Some((lead, naming)) = naming(cell) else {
            return;
        };
        let (place, said) = match naming {
            Naming::Name(name) => (&mut self.name, name),
            Naming::Short(short) => (&mut self.short, short),
            Naming::Code(code) => (&mut self.code, code),
        };
        // Later names speak of later music; the page's name is the first.
        if place.is_none() {
            *place = Some(Text {
                text: said.replace("\\n", " ").trim().to_owned(),
                span: Span::new(span.start + lead, span.end),
            });
        }
        self.unsettled = true;
    }

    pub(super) fn key(&mut self, key: Key, span: Span) {
        self.key = Some((key, span));
        self.unsettled = true;
    }

    pub(super) fn said(&mut self) -> &mut Said {
        self.unsettled = true;
        &mut self.said
    }

    pub(super) fn set_meter(&mut self, meter: Option<Meter>, span: Span) {
        if self.start.is_some() && self.meter != meter {
            self.push_pending(span, EventKind::Meter(meter));
        }
        self.meter = meter;
    }

    pub(super) fn set_clef(&mut self, clef: Clef, span: Span) {
        if self.start.is_some() && self.clef != Some(clef) {
            self.push_pending(span, EventKind::Clef(clef));
        }
        self.clef = Some(clef);
    }

    /// The name on the page; where there is none, the short one or the kind of instrument.
    fn page_name(&self) -> Option<Text> {
        let horn = || {
            self.code
                .as_ref()
                .filter(|code| code.text == "cor")
                .map(|code| Text {
                    text: "Horn".to_owned(),
                    span: code.span,
                })
        };
        let name = self.name.clone().filter(|name| !name.text.is_empty());
        // Old names in any language and spelling hide horns that the code and the short name tell.
        let is_horn = |name: &Text| read_name(&name.text).is_horn;
        if horn().is_some()
            && !name.as_ref().is_some_and(is_horn)
            && let Some(short) = self.short.clone().filter(is_horn)
        {
            return Some(short);
        }
        name.or_else(|| self.short.clone()).or_else(horn)
    }

    /// A transposition that no horn has and an octave below which one has: where it stands.
    ///
    /// Many files have a horn's data an octave above its sound. Then the whole part would be told to be too high; that
    /// octave is told once instead, and the part read as a horn plays it. In bass clef the old notation does lie below
    /// the sound.
    fn an_octave_high(&self, reading: &Reading, name: &PartName) -> Option<Span> {
        let (recorded, span) = reading.recorded?;
        let is_crook = |semitones| Crook::from_semitones(semitones).is_some();
        let bass = self.clef.is_some_and(|clef| clef.kind == ClefKind::Bass);
        let semitones = recorded.0.semitones;
        let high = name.is_horn
            && name.crook == CrookName::Unnamed
            && !bass
            && semitones > 0
            && is_crook(semitones - Interval::OCTAVE.semitones);
        high.then_some(span)
    }

    /// Weighs what the spine says of itself, now that notes are to be read by it.
    pub(super) fn settle(&mut self) {
        if !std::mem::take(&mut self.unsettled) {
            return;
        }
        let name = self
            .page_name()
            .map(|name| read_name(&name.text))
            .unwrap_or_default();
        let key = self.key.map(|(key, _)| key);
        let mut reading = transposing::settle(&self.said, name.crook);
        if let Some(span) = self.an_octave_high(&reading, &name) {
            reading.recorded = reading
                .recorded
                .map(|(recorded, span)| (Transposition(recorded.0 + -Interval::OCTAVE), span));
            self.octave_high.get_or_insert(span);
        }
        let written = key.map_or(Key::NONE, |key| moved_key(&key, reading.up));
        if self.start.is_some() {
            let heard = |reading: &Reading| reading.recorded.map(|(recorded, _)| recorded);
            if heard(&reading) != heard(&self.reading)
                && let Some((recorded, span)) = reading.recorded
            {
                self.push_pending(span, EventKind::Transposition(recorded));
            }
            let said = self.key.map(|(_, span)| span);
            let moved = reading.recorded.map(|(_, span)| span);
            if written != self.written_key
                && let Some(span) = said.max(moved)
            {
                self.push_pending(span, EventKind::Key(written));
            }
        }
        self.reading = reading;
        self.written_key = written;
    }

    /// Takes what holds now for the part's start, unless its music has begun before.
    pub(super) fn begin(&mut self) {
        if self.start.is_none() {
            self.settle();
            self.start = Some(Start {
                key: self.key.map(|(_, span)| (self.written_key, span)),
                meter: self.meter,
                clef: self.clef,
                reading: self.reading,
            });
        }
    }

    /// Closes the bar; events that still wait for their time go on into the next.
    pub(super) fn close(&mut self, frame: &Frame, close: Option<Barline>) {
        let waiting = self.events.split_off(self.pending);
        let events = std::mem::replace(&mut self.events, waiting);
        self.pending = 0;
        self.accidentals.clear();
        self.bars.push(Bar {
            number: frame.number,
            onset: frame.onset,
            length: frame.length,
            meter: self.meter,
            runs: run(events, frame.text).into_iter().collect(),
            close,
        });
    }

    /// What closes the last bar, for a further barline right after it.
    pub(super) fn last_close(&mut self) -> Option<&mut Option<Barline>> {
        self.bars.last_mut().map(|bar| &mut bar.close)
    }

    /// The part, and a transposition that puts its data an octave above any horn.
    pub(super) fn finish(mut self) -> (Part, Option<Span>) {
        self.begin();
        let name = self.page_name();
        let start = self.start.unwrap_or_default();
        let part = Part {
            id: self.id,
            name,
            head: self.head,
            key: start.key,
            meter: start.meter,
            clef: start.clef,
            transposition: start.reading.recorded,
            transposition_spelled: true,
            bars: self.bars,
        };
        (part, self.octave_high)
    }
}

/// A bar's events as one run, counted from its start.
fn run(mut events: Vec<Event>, text: Span) -> Option<Run> {
    let first = events.iter().map(|event| event.span.start).min()?;
    let base = first.min(text.start);
    for event in &mut events {
        event.span = event.span.relative_to(base);
        match &mut event.kind {
            EventKind::Note(note) => note.pitch_span = note.pitch_span.relative_to(base),
            EventKind::Mark(mark) => {
                if let MarkKind::Words(words) = &mut mark.kind {
                    words.span = words.span.relative_to(base);
                }
            }
            _ => {}
        }
    }
    let body = RunBody {
        events,
        text_length: text.end.saturating_sub(base),
    };
    Some(Run {
        base,
        body: Arc::new(body),
    })
}
