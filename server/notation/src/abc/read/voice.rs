//! A voice as it grows, measure by measure, into a part.

use std::sync::Arc;

use score::{Bar, Barline, Clef, Part, Run, Runs, Span, Text, Witness, WitnessKind};
use theory::{Interval, Key, Meter, Quarters, Transposition};

use super::key::Properties;
use super::memory::ReadMeasure;
use super::state::{Entry, State};

/// A voice.
pub(super) struct Voice {
    pub(super) id: String,
    pub(super) name: Option<Text>,
    pub(super) subname: Option<Text>,
    /// Where it is declared, from the start of the piece.
    pub(super) head: Span,
    /// Semitones recorded for it at its start, and where, from the start of the piece.
    pub(super) transpose: Option<(i32, Span)>,
    /// The clef before its first note.
    pub(super) clef: Option<Clef>,
    /// The signature before its first note, where it has one of its own, from the start of the piece.
    pub(super) key: Option<(Key, Span)>,
    /// What is in force where it stands.
    pub(super) entry: Arc<Entry>,
    /// The barline before the first bar.
    opening: Option<Barline>,
    bars: Vec<Bar>,
    open: OpenBar,
    onset: Quarters,
}

/// The bar that is being filled.
#[derive(Default)]
struct OpenBar {
    runs: Runs,
    reach: Quarters,
    /// How many bars it stands for beyond itself.
    further: u32,
}

impl Voice {
    pub(super) fn new(id: &str, head: Span, state: State) -> Self {
        Self {
            id: id.to_owned(),
            name: None,
            subname: None,
            head,
            transpose: None,
            key: None,
            clef: None,
            entry: Entry::new(state),
            opening: None,
            bars: Vec::new(),
            open: OpenBar::default(),
            onset: Quarters::ZERO,
        }
    }

    /// Whether no music has come yet.
    pub(super) fn is_silent(&self) -> bool {
        self.bars.is_empty() && self.open.reach.is_zero()
    }

    /// Sets what a declaration before its music says of how that is read.
    pub(super) fn declare(&mut self, properties: &Properties) {
        let state = &self.entry.state;
        let transpose = properties.transpose.map(|(semitones, _)| semitones);
        self.entry = Entry::new(State {
            transpose: transpose.or(state.transpose),
            octave: properties.octave.unwrap_or(state.octave),
            ..state.clone()
        });
    }

    /// Takes in a measure that begins so many bytes into the piece; there is room for so many bars more.
    pub(super) fn measure(&mut self, measure: &ReadMeasure, base: usize, room: usize) {
        self.entry = Arc::clone(&measure.exit);
        if !measure.body.events.is_empty() || !measure.reach.is_zero() {
            self.open.runs.push(Run {
                base,
                body: Arc::clone(&measure.body),
            });
        }
        self.open.reach = self.open.reach.max(measure.reach);
        if let Some(bars) = measure.rest_bars {
            let room = u32::try_from(room).unwrap_or(u32::MAX);
            self.open.further = self.open.further.saturating_add((bars - 1).min(room));
        }
    }

    /// How many bars it has, with those that the open one stands for.
    pub(super) fn count(&self) -> usize {
        self.bars.len() + self.open.further as usize
    }

    /// Ends the bar.
    pub(super) fn barline(&mut self, barline: Barline) {
        self.entry = self.entry.crossed();
        if self.open.reach.is_zero() {
            // Nothing has sounded since the last barline: the two are one, whatever stands between them.
            let known = match self.bars.last_mut() {
                Some(last) => &mut last.close,
                None => &mut self.opening,
            };
            *known = Some(match known.take() {
                Some(known) => known.joined(barline),
                None => barline,
            });
            return;
        }
        self.close(Some(barline));
    }

    fn close(&mut self, close: Option<Barline>) {
        let open = std::mem::take(&mut self.open);
        let length = open.reach;
        self.push(length, open.runs, None);
        for _ in 0..open.further {
            self.push(length, Runs::new(), None);
        }
        if let Some(last) = self.bars.last_mut() {
            last.close = close;
        }
    }

    fn push(&mut self, length: Quarters, runs: Runs, close: Option<Barline>) {
        self.bars.push(Bar {
            number: 0,
            onset: self.onset,
            length,
            meter: self.entry.state.meter,
            runs,
            close,
        });
        self.onset += length;
    }

    /// The finished part; `key` is the signature of the header.
    pub(super) fn finish(mut self, key: Option<(Key, Span)>, meter: Option<Meter>) -> Part {
        if !self.open.runs.is_empty() || !self.open.reach.is_zero() {
            self.close(None);
        }
        number(&mut self.bars);
        let witness = |kind, said: &Option<Text>| {
            said.clone()
                .filter(|text| !text.text.trim().is_empty())
                .map(|text| Witness { kind, text })
        };
        Part {
            id: self.id,
            witnesses: witness(WitnessKind::Name, &self.name)
                .into_iter()
                .chain(witness(WitnessKind::Abbreviation, &self.subname))
                .collect(),
            name: self.name,
            head: self.head,
            key: self.key.or(key),
            clef: self.clef,
            meter,
            transposition: self.transpose.map(|(semitones, span)| {
                (Transposition(Interval::from_semitones(semitones)), span)
            }),
            transposition_spelled: false,
            notes_sound: false,
            cues: score::Cues::WithinRests,
            pitch: None,
            opening: self.opening,
            bars: self.bars,
        }
    }
}

/// Numbers the bars as players count: an upbeat is 0, and a bar that a repeat cuts in two counts once.
fn number(bars: &mut [Bar]) {
    let full = |bar: &Bar| bar.meter.map(Meter::bar);
    let short = |bar: &Bar| full(bar).is_some_and(|full| bar.length < full);
    let upbeat = bars.len() > 1 && bars.first().is_some_and(short);
    let mut number = u32::from(!upbeat);
    for index in 0..bars.len() {
        if index > 0 {
            let (before, this) = (&bars[index - 1], &bars[index]);
            let cut = before
                .close
                .as_ref()
                .is_some_and(|close| close.repeat_end || close.repeat_start || close.section_end);
            let halves = cut
                && before.number > 0
                && short(before)
                && short(this)
                && full(this) == Some(before.length + this.length);
            if !halves {
                number += 1;
            }
        }
        bars[index].number = number;
    }
}
