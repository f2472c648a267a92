//! One measure: its records in the order of time, each told to the parts it speaks of.

mod told;

use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

use score::bounds::{MOST_PARTS, MOST_UNREADABLE};
use score::{Barline, EventKind, Lost, Mark, Piece, Span, TempoMark, hold_unreadable};
use theory::Quarters;

use super::super::grid::{self, Column, Record, RecordKind, SpineKind, Spines};
use super::super::layout;
use super::super::spot::Spots;
use super::data::{self, Place};
use super::part::{PartBar, PartBuilder};
use super::{barline, dynamics, slips};
use crate::digest::digest;

/// What is in force where a measure begins.
#[derive(Debug, Clone, Hash, Default)]
pub(super) struct State {
    spines: Spines,
    pub(super) parts: Vec<PartBuilder>,
    /// The part of each spine that has notes or speaks of some.
    part_of: Vec<Option<usize>>,
    /// When each branch's last note or rest ends, from the start of the bar.
    ends: BTreeMap<usize, Quarters>,
    number: u32,
    /// Whether any barline has a number; without, bars are counted.
    numbered: bool,
    began: bool,
    /// Where the bar's text begins, when that is before the measure, since no time has passed in it.
    bar_start: Option<usize>,
    /// How many places have been numbered.
    spots: usize,
}

impl State {
    /// What is in force at a piece's start, given the first number that any barline has.
    pub(super) fn new(first: Option<u32>) -> Self {
        Self {
            number: first.map_or(1, |number| number.saturating_sub(1)),
            numbered: first.is_some(),
            ..Self::default()
        }
    }

    /// Stands for all of it; `None` when text before the measure still has a say in the bar.
    pub(super) fn digest(&self) -> Option<u128> {
        let open = self.bar_start.is_some() || self.parts.iter().any(PartBuilder::has_events);
        (!open).then(|| digest(self))
    }
}

/// The text of a measure, from its opening barline to the end of the line of its closing one.
#[derive(Clone, Copy, Hash)]
pub(super) struct Measure<'t> {
    pub(super) text: &'t str,
    /// Whether it begins with a barline; the first one does not.
    pub(super) opened: bool,
    /// Whether it ends with one; the last one does not.
    pub(super) closed: bool,
}

/// A measure as it was read. Places count from the start of the piece it was read in.
#[derive(Debug)]
pub(super) struct ReadMeasure {
    /// Where it began.
    pub(super) start: usize,
    /// What it says of the piece as a whole.
    pub(super) piece: Piece,
    /// Words for the tempo from the reference records.
    pub(super) tempo_words: Option<(TempoMark, Span)>,
    /// The places that it has numbered.
    pub(super) spots: Vec<Span>,
    pub(super) number: u32,
    /// How long its bar lasts; in no time, no bar is closed, and its barline is one with that before.
    pub(super) length: Quarters,
    /// The bar of each part that has begun.
    pub(super) bars: Vec<PartBar>,
    pub(super) exit: State,
    pub(super) exit_digest: Option<u128>,
    /// Whether something in its bar stands before it.
    pub(super) reaches_back: bool,
}

/// Reads a measure that begins so many bytes into its piece.
pub(super) fn read(
    measure: Measure<'_>,
    start: usize,
    state: State,
    spots: &mut Spots,
) -> ReadMeasure {
    let mut reader = Reader {
        bar_start: state.bar_start.unwrap_or(start),
        number: state.number,
        state,
        spots,
        piece: Piece::default(),
        tempo_words: None,
        now: Quarters::ZERO,
        length: Quarters::ZERO,
        bars: Vec::new(),
    };
    for (at, line) in grid::lines(measure.text).skip(usize::from(measure.opened)) {
        reader.record(start + at, line);
    }
    if !measure.closed {
        reader.end(start + measure.text.len());
    }
    reader.finish(start)
}

struct Reader<'s> {
    state: State,
    spots: &'s mut Spots,
    piece: Piece,
    tempo_words: Option<(TempoMark, Span)>,
    /// The time of the last data record, from the start of the bar.
    now: Quarters,
    bar_start: usize,
    number: u32,
    length: Quarters,
    bars: Vec<PartBar>,
}

impl Reader<'_> {
    fn record(&mut self, start: usize, line: &str) {
        let before = Arc::clone(&self.state.spines.columns);
        let record = &self.state.spines.record(start, line);
        if !Arc::ptr_eq(&before, &self.state.spines.columns) {
            self.forget_branches(&before);
        }
        let cells = line.split('\t').count();
        if record.has_columns() && cells != record.columns.len() {
            self.piece.unreadable.push(slips::columns(record, cells));
        }
        self.piece.unreadable.extend(slips::no_text(record));
        if self.piece.unreadable.len() > 2 * MOST_UNREADABLE {
            hold_unreadable(&mut self.piece.unreadable);
        }
        match record.kind {
            RecordKind::Blank => {}
            RecordKind::Exclusive => self.parts_begin(record),
            RecordKind::Reference => self.reference(record),
            RecordKind::GlobalComment => {
                if let Some(span) = layout::page_break(record.text, record.span()) {
                    for part in &mut self.state.parts {
                        part.push_pending(span, EventKind::PageBreak);
                    }
                }
                self.directive(record.span(), record.text);
            }
            RecordKind::LocalComment => self.comments(record),
            RecordKind::Interpretation => self.interpretations(record),
            RecordKind::Barline => self.barline(record),
            RecordKind::Data => self.data(record),
        }
    }

    /// A new branch may have the number of one that has ended.
    fn forget_branches(&mut self, before: &[Column]) {
        let columns = self.state.spines.columns.iter();
        for Column { branch, .. } in columns.filter(|column| !before.contains(column)) {
            self.state.ends.remove(branch);
            for part in &mut self.state.parts {
                part.slurs.remove(branch);
            }
        }
    }

    fn parts_begin(&mut self, record: &Record<'_>) {
        let State {
            spines,
            parts,
            part_of,
            ..
        } = &mut self.state;
        for spine in spines.all.iter().skip(part_of.len()) {
            let head = record.cells().nth(spine.column - 1);
            part_of.push(match (spine.kind, head) {
                (SpineKind::Kern, Some((span, _))) if parts.len() >= MOST_PARTS => {
                    self.piece.unreadable.push(slips::slip(
                        span,
                        format!(
                            "this piece has more than {MOST_PARTS} parts, and this one is not read"
                        ),
                        "a file for each movement",
                        Lost::Notes,
                    ));
                    None
                }
                (SpineKind::Kern, Some((span, _))) => {
                    parts.push(PartBuilder::new(spine.column, self.spots.note(span)));
                    Some(parts.len() - 1)
                }
                _ => spine.notes.and_then(|notes| part_of[notes]),
            });
        }
    }

    fn part(&mut self, column: Column) -> Option<&mut PartBuilder> {
        let part = self.state.part_of.get(column.spine).copied().flatten()?;
        self.state.parts.get_mut(part)
    }

    fn kind(&self, column: Column) -> SpineKind {
        self.state.spines.all[column.spine].kind
    }

    fn barline(&mut self, record: &Record<'_>) {
        let columns = record.columns.iter();
        let ends = columns.filter_map(|column| self.state.ends.get(&column.branch));
        let end = ends.copied().max().unwrap_or(self.now).max(self.now);
        let mut closes: Vec<Option<Barline>> = vec![None; self.state.parts.len()];
        for (column, span, cell) in record.placed() {
            if self.kind(column) == SpineKind::Kern
                && let Some(part) = self.state.part_of[column.spine]
            {
                closes[part].get_or_insert_with(|| barline::read(span, cell));
            }
        }
        self.close(end, record.start, closes);
        // A barline without a number cuts a bar in two.
        if let Some(number) = barline::number(record.text) {
            self.state.number = number;
        } else if !self.length.is_zero() && !self.state.numbered {
            self.state.number += 1;
        }
    }

    /// The end of the piece, where a last barline may be missing.
    fn end(&mut self, text_end: usize) {
        let end = self.state.ends.values().copied().max();
        let end = end.unwrap_or(self.now).max(self.now);
        let closes = vec![None; self.state.parts.len()];
        for part in &mut self.state.parts {
            part.timed();
        }
        self.close(end, text_end, closes);
    }

    /// Closes the bar of each part, unless no time has passed in it.
    fn close(&mut self, length: Quarters, text_end: usize, closes: Vec<Option<Barline>>) {
        self.length = length;
        if length.is_zero() {
            self.state.bar_start = Some(self.bar_start);
            let closed = closes.into_iter().map(|close| PartBar {
                close,
                ..PartBar::default()
            });
            self.bars = closed.collect();
            return;
        }
        self.state.bar_start = None;
        let text = Span::new(self.bar_start, text_end);
        let closed = self.state.parts.iter_mut().zip(closes);
        self.bars = closed
            .map(|(part, close)| part.close(text, close))
            .collect();
    }

    fn finish(mut self, start: usize) -> ReadMeasure {
        let State {
            spines,
            parts,
            ends,
            spots,
            ..
        } = &mut self.state;
        // From here on, what has ended before the barline has no say.
        *ends = std::mem::take(ends)
            .into_iter()
            .filter(|(_, end)| *end >= self.length)
            .map(|(branch, end)| (branch, end - self.length))
            .collect();
        for part in parts {
            part.forget_slurs(&spines.columns);
        }
        let noted = self.spots.since(*spots).to_vec();
        *spots = self.spots.count();
        let mut runs = self.bars.iter().filter_map(|bar| bar.run.as_ref());
        ReadMeasure {
            start,
            reaches_back: runs.any(|run| run.base < start),
            piece: self.piece,
            tempo_words: self.tempo_words,
            spots: noted,
            number: self.number,
            length: self.length,
            bars: self.bars,
            exit_digest: self.state.digest(),
            exit: self.state,
        }
    }

    fn data(&mut self, record: &Record<'_>) {
        let now = self.time_of(record);
        self.now = now;
        self.state.began = true;
        for part in &mut self.state.parts {
            part.time(now);
        }
        let mut layers: HashMap<usize, u8> = HashMap::new();
        // A dynamic stands to the right of the notes of its line and holds for them.
        let is_dynamic = |piece: &Self, column| piece.kind(column) == SpineKind::Dynam;
        let (dynamics, others): (Vec<_>, Vec<_>) = record
            .placed()
            .partition(|(column, _, _)| is_dynamic(self, *column));
        for (column, span, cell) in dynamics.into_iter().chain(others) {
            let layer = layers.entry(column.spine).or_default();
            let place = Place {
                column,
                span,
                layer: *layer,
                offset: now,
            };
            *layer = layer.saturating_add(1);
            if cell != "." {
                self.cell(cell, place);
            }
        }
        for part in &mut self.state.parts {
            part.timed();
        }
    }

    fn cell(&mut self, cell: &str, place: Place) {
        let kind = self.kind(place.column);
        let State {
            parts,
            part_of,
            ends,
            ..
        } = &mut self.state;
        let index = part_of[place.column.spine];
        let Some(part) = index.and_then(|part| parts.get_mut(part)) else {
            return;
        };
        match kind {
            SpineKind::Kern => {
                part.begin(self.spots);
                part.settle(self.spots);
                part.time(place.offset);
                let slips = &mut self.piece.unreadable;
                let before = slips.len();
                let lasts = data::read(cell, place, part, slips);
                for slip in slips.iter_mut().skip(before) {
                    slip.part = index;
                }
                ends.insert(place.column.branch, self.now + lasts);
            }
            SpineKind::Dynam => {
                for (at, kind) in dynamics::marks(cell) {
                    let mark = Mark {
                        kind,
                        on_note: false,
                    };
                    part.push(
                        place.offset,
                        at.shifted(place.span.start),
                        EventKind::Mark(mark),
                    );
                }
            }
            SpineKind::Other => {}
        }
    }

    /// When a data record happens: when all that begin a note there have ended their last one.
    fn time_of(&self, record: &Record<'_>) -> Quarters {
        let ends = |column: &Column| self.state.ends.get(&column.branch).copied();
        let beginning = record
            .placed()
            .filter(|(column, _, cell)| *cell != "." && self.kind(*column) == SpineKind::Kern)
            .filter_map(|(column, _, _)| ends(&column))
            .max();
        let next = || {
            let later = record.columns.iter().filter_map(ends);
            later.filter(|end| *end >= self.now).min()
        };
        beginning.or_else(next).unwrap_or(self.now).max(self.now)
    }
}
