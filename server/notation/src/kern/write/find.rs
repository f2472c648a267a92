//! Finding the spines, records and notes that an intent names.

use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;

use score::{EventKind, Note, Part, PartRef, PlacedPiece, Span};
use theory::{Interval, Key, Pitch, Quarters};

use super::super::grid::{self, Grid, Record, RecordKind, SpineKind};
use super::super::token;
use super::{Source, cannot};
use crate::edit::CannotWrite;

/// A piece with its records. Spans of the grid count from the piece's start.
#[derive(Debug)]
pub(crate) struct Sheet<'a> {
    pub(super) placed: &'a PlacedPiece,
    pub(super) grid: Grid<'a>,
    /// The notes of the spines that were asked for.
    notes: RefCell<HashMap<usize, Rc<[Written<'a>]>>>,
}

/// A part and its spine.
#[derive(Clone, Copy)]
pub(super) struct Line<'s, 'a> {
    pub(super) sheet: &'s Sheet<'a>,
    pub(super) part: &'a Part,
    /// The spine's place among the piece's spines.
    pub(super) spine: usize,
}

/// A note of a part, in document bytes.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Written<'a> {
    pub(super) note: &'a Note,
    pub(super) span: Span,
    pub(super) pitch_span: Span,
    /// Its bar's place in the part.
    pub(super) bar: usize,
    /// When it starts, in quarter notes from the start of the piece.
    pub(super) onset: Quarters,
    /// The pitch in the text, which is the written one moved.
    pub(super) data: Pitch,
    /// The signature in force on the page.
    pub(super) key: Key,
}

impl Written<'_> {
    /// What leads from the text to the page here.
    pub(super) const fn up(&self) -> Interval {
        Interval::between(self.data, self.note.written.0)
    }
}

impl<'a> Source<'a> {
    /// The piece at a place in the score.
    pub(super) fn sheet(&self, piece: usize) -> Result<Rc<Sheet<'a>>, CannotWrite> {
        let Some(placed) = self.score.pieces.get(piece) else {
            return cannot("there is no such piece in this file");
        };
        let mut known = self.sheets.borrow_mut();
        let sheet = known.entry(piece).or_insert_with(|| {
            let span = placed.piece.span.shifted(placed.base);
            let text = self.text.get(span.range()).unwrap_or_default();
            Rc::new(Sheet::new(placed, grid::read(text)))
        });
        Ok(Rc::clone(sheet))
    }

    /// The piece that holds a byte.
    pub(super) fn sheet_at(&self, byte: usize) -> Result<Rc<Sheet<'a>>, CannotWrite> {
        let holds = |placed: &PlacedPiece| placed.piece.span.shifted(placed.base).touches(byte);
        match self.score.pieces.iter().rposition(holds) {
            Some(piece) => self.sheet(piece),
            None => cannot("there is no music at that place any more"),
        }
    }
}

impl<'a> Sheet<'a> {
    fn new(placed: &'a PlacedPiece, grid: Grid<'a>) -> Self {
        Self {
            placed,
            grid,
            notes: RefCell::default(),
        }
    }

    /// The part that is meant.
    pub(super) fn line(&self, part: PartRef) -> Result<Line<'_, 'a>, CannotWrite> {
        match self.lines().nth(part.part) {
            Some(line) => Ok(line),
            None => cannot("there is no such part in this file"),
        }
    }

    /// Every part, the highest first as the score has them.
    pub(super) fn lines(&self) -> impl Iterator<Item = Line<'_, 'a>> {
        let spines = self.grid.spines.iter().enumerate().rev();
        let kern = spines.filter(|(_, spine)| spine.kind == SpineKind::Kern);
        kern.zip(&self.placed.piece.parts)
            .map(|((spine, _), part)| Line {
                sheet: self,
                part,
                spine,
            })
    }

    /// The record that holds a byte of the document.
    pub(super) fn record_at(&self, byte: usize) -> Result<usize, CannotWrite> {
        let at = byte.saturating_sub(self.placed.base);
        let found = self
            .grid
            .records
            .partition_point(|record| record.start <= at)
            .checked_sub(1);
        match found {
            Some(index) if at <= self.grid.records[index].span().end => Ok(index),
            _ => cannot("there is no line at that place any more"),
        }
    }

    /// The first of the comments right above a record, or the record itself: local comments speak of the next note, so
    /// nothing may come between.
    pub(super) fn above_comments(&self, record: usize) -> &Record<'a> {
        let records = &self.grid.records;
        let is_comment = |record: &&Record<'_>| {
            matches!(
                record.kind,
                RecordKind::LocalComment | RecordKind::GlobalComment
            )
        };
        let comments = records[..record].iter().rev().take_while(is_comment);
        &records[record - comments.count()]
    }
}

impl<'s, 'a> Line<'s, 'a> {
    /// The notes in order.
    pub(super) fn notes(self, text: &str) -> Rc<[Written<'a>]> {
        let mut known = self.sheet.notes.borrow_mut();
        let notes = known.entry(self.spine);
        Rc::clone(notes.or_insert_with(|| self.read_notes(text).into()))
    }

    fn read_notes(self, text: &str) -> Vec<Written<'a>> {
        let base = self.sheet.placed.base;
        let mut key = self.part.key.map_or(Key::NONE, |(key, _)| key);
        let written = self.part.events().filter_map(|placed| {
            let note = match &placed.event.kind {
                EventKind::Note(note) => note,
                EventKind::Key(said) => {
                    key = *said;
                    return None;
                }
                _ => return None,
            };
            let from = base + placed.base;
            let pitch_span = note.pitch_span.shifted(from);
            let (data, _) = token::read(text.get(pitch_span.range())?).pitch?;
            Some(Written {
                note,
                span: placed.event.span.shifted(from),
                pitch_span,
                bar: placed.bar,
                onset: placed.onset,
                data,
                key,
            })
        });
        written.collect()
    }

    /// The spine's cells in interpretation records, in order, in document bytes.
    pub(super) fn interpretations(self) -> impl Iterator<Item = (Span, &'a str)> + use<'s, 'a> {
        let base = self.sheet.placed.base;
        let spine = self.spine;
        let records = self.sheet.grid.records.iter();
        records
            .filter(|record| record.kind == RecordKind::Interpretation)
            .flat_map(Record::placed)
            .filter(move |(column, _, _)| column.spine == spine)
            .map(move |(_, span, cell)| (span.shifted(base), cell))
    }

    /// The first record below which the spine's music begins.
    pub(super) fn first_music(self) -> Result<&'s Record<'a>, CannotWrite> {
        let spine = self.spine;
        let music = |record: &&Record<'_>| {
            matches!(
                record.kind,
                RecordKind::LocalComment | RecordKind::Barline | RecordKind::Data
            ) && record.columns.iter().any(|column| column.spine == spine)
        };
        match self.sheet.grid.records.iter().find(music) {
            Some(record) => Ok(record),
            None => cannot("the part has no music before which it could be written"),
        }
    }
}

/// A part's notes, and the places among them of those that are meant.
pub(super) struct Named<'a> {
    pub(super) notes: Rc<[Written<'a>]>,
    pub(super) meant: Vec<usize>,
}

/// The parts of a sheet that hold any note at a place.
///
/// A span that is a note's own names that note; a wider one names all the notes whose pitch lies in it.
pub(super) fn notes_at<'a>(
    sheet: &Sheet<'a>,
    text: &str,
    spans: &[Span],
) -> Result<Vec<Named<'a>>, CannotWrite> {
    let mut found = Vec::new();
    let mut hit = vec![false; spans.len()];
    for line in sheet.lines() {
        let notes = line.notes(text);
        let mut meant = Vec::new();
        for (index, span) in spans.iter().enumerate() {
            let before = meant.len();
            let exact = |note: &Written<'_>| note.span == *span || note.pitch_span == *span;
            meant.extend((0..notes.len()).filter(|&at| exact(&notes[at])));
            if meant.len() == before {
                let within = |note: &Written<'_>| {
                    span.start <= note.pitch_span.start && note.pitch_span.end <= span.end
                };
                meant.extend((0..notes.len()).filter(|&at| within(&notes[at])));
            }
            hit[index] |= meant.len() > before;
        }
        if !meant.is_empty() {
            found.push(Named { notes, meant });
        }
    }
    if hit.contains(&false) {
        return cannot("there is no note at that place any more");
    }
    Ok(found)
}
