//! A `**kern` spine as it grows, record by record, into a part.

use std::collections::BTreeMap;
use std::hash::{Hash, Hasher};
use std::sync::Arc;

use horn::{CrookName, PartName, read_name, read_name_of_horn};
use score::{
    Barline, Class, Clef, Event, EventKind, MarkKind, Part, Run, RunBody, Span, Text, Witness,
    WitnessKind,
};
use theory::{Alteration, Interval, Key, Letter, Meter, PagePitch, Quarters};

use super::super::grid::{Column, MOST_COLUMNS};
use super::super::interpretation::{Naming, moved_key, naming};
use super::super::spot::{Spot, Spots};
use super::super::transposing::{self, Reading, Said};

/// A part that is being read. Spans count from the start of the piece until a bar is closed.
#[derive(Debug, Clone, Hash)]
pub(super) struct PartBuilder {
    /// The column it begins in, from 1.
    column: usize,
    head: Spot,
    /// What stood at the start of what it is for.
    witnesses: Vec<(WitnessKind, String, Spot)>,
    /// The name, short name and kind of instrument that hold now.
    name: Option<(String, Spot)>,
    short: Option<(String, Spot)>,
    class: Option<Class>,
    /// The signature in force at the level of the data.
    key: Option<(Key, Spot)>,
    /// The signature in force on the page.
    pub(super) written_key: Key,
    said: Said,
    reading: Reading,
    /// Whether what it says of key, name or transposition has changed since it was last weighed.
    unsettled: bool,
    meter: Option<Meter>,
    clef: Option<Clef>,
    /// What stood at the start, once music has begun.
    start: Option<Start>,
    events: Events,
    /// Alterations written in this bar, by letter and octave.
    pub(super) accidentals: BTreeMap<(Letter, i8), Alteration>,
    /// Slurs open in each branch.
    pub(super) slurs: BTreeMap<usize, i32>,
}

/// The events of a bar that is not closed.
#[derive(Debug, Clone, Default)]
struct Events {
    all: Vec<Event>,
    /// Those whose time the next data record tells begin here.
    pending: usize,
}

impl Hash for Events {
    /// States are only compared where there are no events, so how many there are will do.
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.all.len().hash(state);
    }
}

/// What holds at the start of a part.
#[derive(Debug, Clone, Hash, Default)]
struct Start {
    key: Option<(Key, Spot)>,
    meter: Option<Meter>,
    clef: Option<Clef>,
    reading: Reading,
    name: Option<(String, Spot)>,
}

/// What a part has in a bar; its place is counted from the start of the piece.
#[derive(Debug, Default)]
pub(super) struct PartBar {
    pub(super) meter: Option<Meter>,
    pub(super) run: Option<Run>,
    pub(super) close: Option<Barline>,
}

impl PartBuilder {
    pub(super) fn new(column: usize, head: Spot) -> Self {
        Self {
            column,
            head,
            witnesses: Vec::new(),
            name: None,
            short: None,
            class: None,
            key: None,
            written_key: Key::NONE,
            said: Said::default(),
            reading: Reading::default(),
            unsettled: true,
            meter: None,
            clef: None,
            start: None,
            events: Events::default(),
            accidentals: BTreeMap::new(),
            slurs: BTreeMap::new(),
        }
    }

    /// What leads from the data to the page.
    pub(super) const fn up(&self) -> Interval {
        self.reading.up
    }

    /// What leads from the data to the sound.
    pub(super) const fn heard(&self) -> Interval {
        self.reading.heard
    }

    /// The metre in force.
    pub(super) const fn meter(&self) -> Option<Meter> {
        self.meter
    }

    /// Puts an event down whose time the next data record tells.
    pub(super) fn push_pending(&mut self, span: Span, kind: EventKind) {
        // The same is said once in each column, so further back nothing is sought.
        let waiting = &self.events.all[self.events.pending..];
        let mut last = waiting.iter().rev().take(MOST_COLUMNS);
        let again = last.any(|event| event.kind == kind);
        if !again {
            self.push(Quarters::ZERO, span, kind);
        }
    }

    /// Puts an event down.
    pub(super) fn push(&mut self, offset: Quarters, span: Span, kind: EventKind) {
        self.events.all.push(Event { offset, span, kind });
    }

    /// Tells the events that have waited for it their time.
    pub(super) fn time(&mut self, offset: Quarters) {
        for event in &mut self.events.all[self.events.pending..] {
            event.offset = offset;
        }
        self.timed();
    }

    /// All events up to now have their time.
    pub(super) const fn timed(&mut self) {
        self.events.pending = self.events.all.len();
    }

    /// Whether events are still to go into a bar.
    pub(super) const fn has_events(&self) -> bool {
        !self.events.all.is_empty()
    }

    pub(super) fn name(&mut self, cell: &str, span: Span, spots: &mut Spots) {
        let Some((lead, naming)) = naming(cell) else {
            return;
        };
        let (kind, said) = match naming {
            Naming::Name(name) => (WitnessKind::Name, name),
            Naming::Short(short) => (WitnessKind::Abbreviation, short),
            Naming::Code(code) => match class(code) {
                Some(class) => (WitnessKind::Class(class), code),
                None => return,
            },
        };
        let text = said.replace("\\n", " ").trim().to_owned();
        if text.is_empty() {
            return;
        }
        let span = Span::new(span.start + lead, span.end);
        let spot = spots.note(span);
        match &mut self.start {
            Some(_) => self.push_pending(span, EventKind::Witness(kind, text.clone())),
            None => self.witnesses.push((kind, text.clone(), spot)),
        }
        // Of several that stand at the start the page has the first.
        let begun = self.start.is_some();
        let put = |place: &mut Option<(String, Spot)>| {
            if begun || place.is_none() {
                *place = Some((text, spot));
            }
        };
        match kind {
            WitnessKind::Class(class) => self.class = Some(class),
            WitnessKind::Abbreviation => put(&mut self.short),
            _ => put(&mut self.name),
        }
        self.unsettled = true;
    }

    pub(super) fn key(&mut self, key: Key, spot: Spot) {
        self.key = Some((key, spot));
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

    /// The name on the page; where there is none, the short one.
    fn page_name(&self) -> Option<&(String, Spot)> {
        self.name.as_ref().or(self.short.as_ref())
    }

    /// What the names that hold now say, where the part is a horn's: the first that names a crook, or else the first.
    fn horn_name(&self) -> PartName {
        let known = matches!(self.class, Some(Class::Horn | Class::NaturalHorn));
        let read = |(name, _): &(String, Spot)| {
            if known {
                read_name_of_horn(name)
            } else {
                Some(read_name(name)).filter(|name| name.is_horn)
            }
        };
        let all = || self.name.iter().chain(&self.short).filter_map(read);
        let named = all().find(|name| name.crook != CrookName::Unnamed);
        named.or_else(|| all().next()).unwrap_or_default()
    }

    /// Weighs what the spine says of itself, now that notes are to be read by it.
    pub(super) fn settle(&mut self, spots: &Spots) {
        if !std::mem::take(&mut self.unsettled) {
            return;
        }
        let name = self.horn_name();
        let key = self.key.map(|(key, _)| key);
        let reading = transposing::settle(&self.said, name.crook);
        let written = key.map_or(Key::NONE, |key| moved_key(&key, reading.up));
        if self.start.is_some() {
            let heard = |reading: &Reading| reading.recorded.map(|(recorded, _)| recorded);
            if heard(&reading) != heard(&self.reading)
                && let Some((recorded, spot)) = reading.recorded
            {
                self.push_pending(spots.place(spot), EventKind::Transposition(recorded));
            }
            let said = self.key.map(|(_, spot)| spot);
            let moved = reading.recorded.map(|(_, spot)| spot);
            if written != self.written_key
                && let Some(spot) = said.max(moved)
            {
                self.push_pending(spots.place(spot), EventKind::Key(written));
            }
        }
        self.reading = reading;
        self.written_key = written;
    }

    /// Takes what holds now for the part's start, unless its music has begun before.
    pub(super) fn begin(&mut self, spots: &Spots) {
        if self.start.is_none() {
            self.settle(spots);
            self.start = Some(Start {
                key: self.key.map(|(_, spot)| (self.written_key, spot)),
                meter: self.meter,
                clef: self.clef,
                reading: self.reading,
                name: self.page_name().cloned(),
            });
        }
    }

    /// Closes the bar, whose text is given; events that still wait for their time go on into the next.
    pub(super) fn close(&mut self, text: Span, close: Option<Barline>) -> PartBar {
        let waiting = self.events.all.split_off(self.events.pending);
        let events = std::mem::replace(&mut self.events.all, waiting);
        self.events.pending = 0;
        self.accidentals.clear();
        PartBar {
            meter: self.meter,
            run: run(events, text),
            close,
        }
    }

    /// Forgets the slurs of branches that have ended, and that there once were some.
    pub(super) fn forget_slurs(&mut self, columns: &[Column]) {
        let runs = |branch| columns.iter().any(|column| column.branch == branch);
        self.slurs.retain(|branch, open| *open > 0 && runs(*branch));
    }

    /// The part without its bars.
    pub(super) fn finish(mut self, spots: &Spots) -> Part {
        self.begin(spots);
        let start = self.start.unwrap_or_default();
        let text = |text: String, spot: Spot| Text {
            text,
            span: spots.place(spot),
        };
        let name = start.name.map(|(name, spot)| text(name, spot));
        let witnesses = self.witnesses.into_iter();
        Part {
            id: self.column.to_string(),
            name,
            witnesses: witnesses
                .map(|(kind, said, spot)| Witness {
                    kind,
                    text: text(said, spot),
                })
                .collect(),
            head: spots.place(self.head),
            key: start.key.map(|(key, spot)| (key, spots.place(spot))),
            meter: start.meter,
            clef: start.clef,
            transposition: start
                .reading
                .recorded
                .map(|(recorded, spot)| (recorded, spots.place(spot))),
            transposition_spelled: true,
            // Only data that are said to be moved are what is written.
            // The page is made for the horn that is named.
            pitch: Some(PagePitch::Written),
            cues: score::Cues::AtRests,
            notes_sound: start.reading.up != Interval::UNISON || start.reading.recorded.is_none(),
            opening: None,
            bars: Vec::new(),
        }
    }
}

/// The kind of instrument by its code; `None` when the code says that there is none.
fn class(code: &str) -> Option<Class> {
    if code == "empty" {
        return None;
    }
    let horn = code.split('&').any(|code| code == "cor" || code == "Icor");
    Some(if horn { Class::Horn } else { Class::Other })
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
    // Bars are kept for as long as the score is.
    events.shrink_to_fit();
    let body = RunBody::new(events, text.end.saturating_sub(base));
    Some(Run {
        base,
        body: Arc::new(body),
    })
}
