//! What sounds in each bar of each part of a piece, as far as an answer to a lesson must leave it alone.

use std::collections::HashMap;
use std::collections::hash_map::DefaultHasher;
use std::hash::{Hash as _, Hasher as _};
use std::ops::RangeInclusive;

use reading::{HornPart, PieceReading, PlayedNote};
use score::{Bar, Barline, EventKind, Note, Part, Span};
use theory::{Quarters, Transposition};

/// A piece's music, part by part.
#[derive(Debug)]
pub(super) struct PieceMusic<'a> {
    pub(super) reading: &'a PieceReading,
    pub(super) parts: Vec<PartMusic<'a>>,
}

/// A part's music, bar by bar.
#[derive(Debug)]
pub(super) struct PartMusic<'a> {
    /// What to call it in a report.
    pub(super) label: String,
    /// How horn players read it; nothing where it is another instrument's.
    pub(super) horn: Option<&'a HornPart>,
    pub(super) bars: Vec<BarMusic<'a>>,
    /// Where each run of a bar begins and ends, from the start of the piece, with the bar's place.
    runs: Vec<(Span, usize)>,
    /// The bars' places by their numbers, which need neither rise nor differ.
    numbers: Vec<(u32, usize)>,
}

/// What sounds in a bar.
#[derive(Debug)]
pub(super) struct BarMusic<'a> {
    /// The number a player finds it by.
    pub(super) number: u32,
    /// When it starts, in quarter notes from the start of the piece.
    pub(super) onset: Quarters,
    /// How long it lasts, in quarter notes.
    pub(super) length: Quarters,
    /// How long its metre has it last, if there is one.
    pub(super) full: Option<Quarters>,
    /// The notes, by when they begin and how they sound.
    pub(super) notes: Vec<Heard<'a>>,
    /// What the barline behind it has players repeat.
    pub(super) repeats: Repeats<'a>,
}

/// What a barline has players repeat, as the score has it.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Repeats<'a> {
    repeat_end: bool,
    repeat_start: bool,
    times: Option<u32>,
    ending_end: bool,
    ending: Option<&'a str>,
}

impl<'a> Repeats<'a> {
    fn of(barline: Option<&'a Barline>) -> Self {
        let Some(Barline {
            repeat_end,
            repeat_start,
            times,
            ending_end,
            ending,
            // How the end of a section is drawn may change.
            section_end: _,
            repeat_from: _,
            span: _,
        }) = barline
        else {
            return Self::default();
        };
        Self {
            repeat_end: *repeat_end,
            repeat_start: *repeat_start,
            times: *times,
            ending_end: *ending_end,
            ending: ending.as_deref(),
        }
    }
}

/// A note as it is heard.
#[derive(Debug)]
pub(super) struct Heard<'a> {
    /// Quarter notes from the barline.
    pub(super) offset: Quarters,
    /// Quarter notes.
    pub(super) length: Quarters,
    pub(super) grace: bool,
    /// What sounds, as a MIDI number.
    pub(super) sounds: i32,
    pub(super) tied_to: bool,
    /// How it is played, on a horn.
    pub(super) played: Option<&'a PlayedNote>,
}

impl<'a> PieceMusic<'a> {
    pub(super) fn of(reading: &'a PieceReading) -> Self {
        let mut horns: HashMap<usize, &HornPart> = HashMap::new();
        for horn in &reading.horns {
            horns.insert(horn.seat.part, horn);
        }
        let parts = reading.piece.parts.iter().enumerate();
        let parts =
            parts.map(|(place, part)| PartMusic::of(part, horns.get(&place).copied(), place));
        Self {
            reading,
            parts: parts.collect(),
        }
    }

    /// How many bars its longest part has.
    pub(super) fn bars(&self) -> usize {
        let parts = self.parts.iter().map(|part| part.bars.len());
        parts.max().unwrap_or(0)
    }

    /// The bar at a place of the text, by its place in its part: the part's own, else another's.
    pub(super) fn bar_at(&self, part: usize, span: Span) -> Option<usize> {
        self.at(part, span).map(|(_, bar)| bar)
    }

    /// The part and bar at a place of the text: those of a note that stands there, else the part's own, else another's.
    pub(super) fn at(&self, part: usize, span: Span) -> Option<(usize, usize)> {
        let own = std::iter::once(part);
        let order: Vec<usize> = own
            .chain((0..self.parts.len()).filter(|at| *at != part))
            .collect();
        let bar = |at: usize| Some((at, self.parts.get(at)?.bar_at(span)?));
        let of_note = order.iter().find(|at| self.is_note(**at, span));
        of_note
            .and_then(|at| bar(*at))
            .or_else(|| order.iter().find_map(|at| bar(*at)))
    }

    /// Whether a note of a horn part stands at a place of the text.
    pub(super) fn is_note(&self, part: usize, span: Span) -> bool {
        let horn = self.parts.get(part).and_then(|part| part.horn);
        horn.is_some_and(|horn| {
            let after = horn
                .notes
                .partition_point(|note| note.span.start <= span.start);
            let note = after
                .checked_sub(1)
                .and_then(|before| horn.notes.get(before));
            note.is_some_and(|note| span == note.span || span == note.pitch_span)
        })
    }

    /// What tells a bar of all parts from others.
    pub(super) fn digest_of_all(&self, bar: usize) -> u64 {
        let mut digest = DefaultHasher::new();
        for part in &self.parts {
            part.bars.get(bar).map(BarMusic::digest).hash(&mut digest);
        }
        digest.finish()
    }
}

impl<'a> PartMusic<'a> {
    fn of(part: &'a Part, horn: Option<&'a HornPart>, place: usize) -> Self {
        let name = part.name.as_ref().map(|name| name.text.trim().to_owned());
        let named = name.filter(|name| !name.is_empty());
        let label = horn.map(|horn| horn.label.clone()).or(named);
        let played: HashMap<Span, &PlayedNote> = horn
            .into_iter()
            .flat_map(|horn| &horn.notes)
            .map(|note| (note.span, note))
            .collect();
        let mut transposition = part
            .transposition
            .map_or_else(Transposition::default, |(of, _)| of);
        let mut runs = Vec::new();
        let mut bars = Vec::with_capacity(part.bars.len());
        for (at, bar) in part.bars.iter().enumerate() {
            for run in &bar.runs {
                let span = Span::new(run.base, run.base + run.body.text_length);
                runs.push((span, at));
            }
            bars.push(BarMusic::of(bar, at, &played, &mut transposition));
        }
        runs.sort_unstable();
        let numbers = bars.iter().enumerate();
        let mut numbers: Vec<_> = numbers.map(|(at, bar)| (bar.number, at)).collect();
        numbers.sort_unstable();
        Self {
            label: label.unwrap_or_else(|| format!("part {}", place + 1)),
            horn,
            bars,
            runs,
            numbers,
        }
    }

    /// The bars with one of these numbers, by their places.
    pub(super) fn bars_numbered(
        &self,
        wanted: &RangeInclusive<u32>,
    ) -> impl Iterator<Item = usize> {
        let from = self
            .numbers
            .partition_point(|(number, _)| number < wanted.start());
        let beyond = self
            .numbers
            .partition_point(|(number, _)| number <= wanted.end());
        let bars = self.numbers.get(from..beyond);
        bars.into_iter().flatten().map(|(_, at)| *at)
    }

    fn bar_at(&self, span: Span) -> Option<usize> {
        let after = self
            .runs
            .partition_point(|(run, _)| run.start <= span.start);
        let (run, bar) = self.runs.get(after.checked_sub(1)?)?;
        run.touches(span.start).then_some(*bar)
    }
}

impl<'a> BarMusic<'a> {
    fn of(
        bar: &'a Bar,
        at: usize,
        played: &HashMap<Span, &'a PlayedNote>,
        transposition: &mut Transposition,
    ) -> Self {
        let mut notes = Vec::new();
        for placed in bar.events(at) {
            match &placed.event.kind {
                EventKind::Transposition(from_here) => *transposition = *from_here,
                EventKind::Note(note) => {
                    let played = played.get(&placed.span()).copied();
                    notes.push(Heard::of(note, placed.event.offset, played, *transposition));
                }
                EventKind::Rest(_)
                | EventKind::Cue(_)
                | EventKind::Mark(_)
                | EventKind::Key(_)
                | EventKind::Meter(_)
                | EventKind::Tempo(_)
                | EventKind::Clef(_)
                | EventKind::Witness(..)
                | EventKind::Section(_)
                | EventKind::Route(_)
                | EventKind::PageBreak => {}
            }
        }
        notes.sort_by_key(|note| {
            (
                note.offset,
                note.sounds,
                note.length,
                note.grace,
                note.tied_to,
            )
        });
        Self {
            number: bar.number,
            onset: bar.onset,
            length: bar.length,
            full: bar.meter.map(theory::Meter::bar),
            notes,
            repeats: Repeats::of(bar.close.as_ref()),
        }
    }

    /// What tells its notes from others.
    pub(super) fn digest(&self) -> u64 {
        let mut digest = DefaultHasher::new();
        self.length.hash(&mut digest);
        for note in &self.notes {
            (note.offset, note.length, note.grace, note.sounds).hash(&mut digest);
        }
        digest.finish()
    }
}

impl<'a> Heard<'a> {
    /// Every field is looked at, so that one added later must be decided on.
    fn of(
        note: &Note,
        offset: Quarters,
        played: Option<&'a PlayedNote>,
        transposition: Transposition,
    ) -> Self {
        let Note {
            written,
            sounding,
            length,
            // The note before says whether it is held on.
            tied_from: _,
            // How a pitch is spelled, slurred and laid out may change where it sounds the same.
            alteration_from: _,
            pitch_span: _,
            tied_to,
            grace,
            chord: _,
            slurred_to_next: _,
            layer: _,
        } = note;
        let read = played.map(|note| note.sounding).or(*sounding);
        Self {
            offset,
            length: *length,
            grace: *grace,
            sounds: read.unwrap_or_else(|| transposition.sound(*written)).midi(),
            tied_to: *tied_to,
            played,
        }
    }
}
