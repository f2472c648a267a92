//! One piece: its records in the order of time, each told to the parts it speaks of.

use std::collections::HashMap;

use score::{Barline, Directive, EventKind, Mark, Piece, Span, TempoMark, Text, parse_directive};
use theory::Quarters;
use tree_sitter::Tree;

use super::super::grid::{self, Column, Grid, Record, RecordKind, SpineKind};
use super::super::interpretation::{self, Moved};
use super::super::layout;
use super::data::{self, Place};
use super::part::{Frame, PartBuilder};
use super::{barline, dynamics, slips};

/// Reads a piece that begins so many bytes into the document.
pub(super) fn read(text: &str, base: usize, tree: &Tree) -> Piece {
    let grid = grid::read(text);
    let mut reader = Reader::new(&grid, text.len());
    for record in &grid.records {
        reader.record(record);
    }
    let mut piece = reader.finish();
    slips::errors(
        tree,
        Span::new(base, base + text.len()),
        &mut piece.unreadable,
    );
    piece.unreadable.sort_by_key(|slip| slip.span);
    piece
}

struct Reader<'g> {
    grid: &'g Grid<'g>,
    parts: Vec<PartBuilder>,
    /// The part of each spine that has notes or speaks of some.
    part_of: Vec<Option<usize>>,
    piece: Piece,
    /// The time of the last data record.
    now: Quarters,
    /// When each branch's last note or rest ends.
    ends: HashMap<usize, Quarters>,
    number: u32,
    /// Whether any barline has a number; without, bars are counted.
    numbered: bool,
    bar_onset: Quarters,
    bar_start: usize,
    began: bool,
    /// Words for the tempo from the reference records.
    tempo_words: Option<(TempoMark, Span)>,
}

impl<'g> Reader<'g> {
    fn new(grid: &'g Grid<'g>, length: usize) -> Self {
        let mut parts = Vec::new();
        let own: Vec<Option<usize>> = grid
            .spines
            .iter()
            .map(|spine| {
                (spine.kind == SpineKind::Kern).then(|| {
                    parts.push(PartBuilder::new(spine));
                    parts.len() - 1
                })
            })
            .collect();
        let part_of = grid
            .spines
            .iter()
            .map(|spine| spine.notes.and_then(|notes| own[notes]))
            .collect();
        let first = barline::first_number(grid);
        Self {
            grid,
            parts,
            part_of,
            piece: Piece {
                span: Span::new(0, length),
                ..Piece::default()
            },
            now: Quarters::ZERO,
            ends: HashMap::new(),
            number: first.map_or(1, |number| number.saturating_sub(1)),
            numbered: first.is_some(),
            bar_onset: Quarters::ZERO,
            bar_start: 0,
            began: false,
            tempo_words: None,
        }
    }

    fn record(&mut self, record: &Record<'_>) {
        let cells = record.text.split('\t').count();
        if record.has_columns() && cells != record.columns.len() {
            let slip = slips::columns(record.span(), cells, record.columns.len());
            self.piece.unreadable.push(slip);
        }
        match record.kind {
            RecordKind::Blank | RecordKind::Exclusive => {}
            RecordKind::Reference => self.reference(record),
            RecordKind::GlobalComment => self.directive(record.span(), record.text),
            RecordKind::LocalComment => self.comments(record),
            RecordKind::Interpretation => self.interpretations(record),
            RecordKind::Barline => self.barline(record),
            RecordKind::Data => self.data(record),
        }
    }

    fn reference(&mut self, record: &Record<'_>) {
        let Some((key, value)) = record.text.trim_start_matches('!').split_once(':') else {
            return;
        };
        let text = value.trim();
        let start = record.span().end - value.trim_start().len();
        let found = Text {
            text: text.to_owned(),
            span: Span::new(start, start + text.len()),
        };
        let place = match key {
            "OTL" => &mut self.piece.title,
            "COM" => &mut self.piece.composer,
            "OMD" if !self.began && self.tempo_words.is_none() => {
                let mark = TempoMark {
                    words: Some(found.text),
                    tempo: None,
                };
                self.tempo_words = Some((mark, found.span));
                return;
            }
            _ => return,
        };
        if place.is_none() && !text.is_empty() {
            *place = Some(found);
        }
    }

    /// An instruction to this tool in a comment, which always has its line to itself.
    fn directive(&mut self, span: Span, comment: &str) {
        let words = comment.trim_start_matches('!');
        if let Some((place, kind)) = parse_directive(words) {
            self.piece.directives.push(Directive {
                span: place.shifted(span.end - words.len()),
                own_line: true,
                kind,
            });
        }
    }

    fn part(&mut self, column: Column) -> Option<&mut PartBuilder> {
        let part = self.part_of.get(column.spine).copied().flatten()?;
        self.parts.get_mut(part)
    }

    fn kind(&self, column: Column) -> SpineKind {
        self.grid.spines[column.spine].kind
    }

    fn comments(&mut self, record: &Record<'_>) {
        for (column, span, cell) in record.placed() {
            if cell == "!" {
                continue;
            }
            if let Some((words, place)) = layout::words(cell) {
                let mark = layout::mark(words, place.shifted(span.start));
                if self.kind(column) != SpineKind::Other
                    && let Some(part) = self.part(column)
                {
                    part.push_pending(span, EventKind::Mark(mark));
                }
            } else if !cell.starts_with("!LO:") {
                self.directive(span, cell);
            }
        }
    }

    fn interpretations(&mut self, record: &Record<'_>) {
        let mut joined: Option<Column> = None;
        for (column, span, cell) in record.placed() {
            if cell == "*v" {
                if let Some(first) = joined.filter(|first| first.spine == column.spine) {
                    let ends = self.ends.get(&column.branch).copied();
                    let known = self.ends.get(&first.branch).copied();
                    if let Some(end) = ends.max(known) {
                        self.ends.insert(first.branch, end);
                    }
                } else {
                    joined = Some(column);
                }
                continue;
            }
            joined = None;
            if cell != "*" && self.kind(column) == SpineKind::Kern {
                self.interpretation(column, span, cell);
            }
        }
    }

    fn interpretation(&mut self, column: Column, span: Span, cell: &str) {
        let began = self.began;
        let Some(part) = self.part_of[column.spine].and_then(|part| self.parts.get_mut(part))
        else {
            return;
        };
        let mut slip = None;
        if let Some(clef) = interpretation::clef(cell) {
            part.set_clef(clef, span);
        } else if cell.starts_with("*k[") {
            match interpretation::key(cell) {
                Some(key) => part.key(key, span),
                None => {
                    slip = Some((
                        format!("`{cell}` is no key signature"),
                        "letters with `#` or `-`, as in `*k[b-e-]`, or `*k[]` for none",
                    ));
                }
            }
        } else if let Some(tempo) = interpretation::tempo(cell) {
            if !began && self.piece.tempo.is_none() {
                self.piece.tempo = Some((tempo.clone(), span));
            }
            part.push_pending(span, EventKind::Tempo(tempo));
        } else if let Some(meter) = interpretation::meter(cell) {
            part.set_meter(meter, span);
        } else if let Some((moved, interval)) = interpretation::transposition(cell) {
            slip = slips::transposition(cell, interval);
            if let Some(interval) = interval {
                let said = part.said();
                match moved {
                    Moved::Page => said.page = Some((interval, span)),
                    Moved::Data => said.data = Some((interval, span)),
                }
            }
        } else if let Some(label) = cell.strip_prefix("*>") {
            // `*>[A,B]` only lists the sections.
            if !label.contains('[') {
                part.push_pending(span, EventKind::Section(label.to_owned()));
            }
        } else {
            part.name(cell, span);
        }
        if let Some((problem, expected)) = slip {
            self.piece
                .unreadable
                .push(slips::slip(span, problem, expected));
        }
    }

    fn barline(&mut self, record: &Record<'_>) {
        let ends = record
            .columns
            .iter()
            .filter_map(|column| self.ends.get(&column.branch));
        let end = ends.copied().max().unwrap_or(self.now).max(self.now);
        let length = end - self.bar_onset;
        let mut closes: Vec<Option<Barline>> = vec![None; self.parts.len()];
        for (column, span, cell) in record.placed() {
            if self.kind(column) == SpineKind::Kern
                && let Some(part) = self.part_of[column.spine]
            {
                closes[part].get_or_insert_with(|| barline::read(span, cell));
            }
        }
        if length.is_zero() {
            for (part, close) in self.parts.iter_mut().zip(closes) {
                if let (Some(known), Some(more)) = (part.last_close(), close) {
                    *known = Some(
                        known
                            .take()
                            .map_or(more.clone(), |known| barline::joined(known, &more)),
                    );
                }
            }
        } else {
            let frame = Frame {
                number: self.number,
                onset: self.bar_onset,
                length,
                text: Span::new(self.bar_start, record.start),
            };
            for (part, close) in self.parts.iter_mut().zip(closes) {
                part.close(&frame, close);
            }
            self.bar_onset = end;
            self.now = end;
            self.bar_start = record.start;
            if !self.numbered {
                self.number += 1;
            }
        }
        // A barline without a number cuts a bar in two.
        if let Some(number) = barline::number(record) {
            self.number = number;
        }
    }

    fn data(&mut self, record: &Record<'_>) {
        let now = self.time_of(record);
        self.now = now;
        self.began = true;
        let offset = now - self.bar_onset;
        for part in &mut self.parts {
            part.time(offset);
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
                offset,
            };
            *layer = layer.saturating_add(1);
            if cell != "." {
                self.cell(cell, place);
            }
        }
        for part in &mut self.parts {
            part.timed();
        }
    }

    fn cell(&mut self, cell: &str, place: Place) {
        let kind = self.kind(place.column);
        let Some(part) = self.part_of[place.column.spine].and_then(|part| self.parts.get_mut(part))
        else {
            return;
        };
        match kind {
            SpineKind::Kern => {
                part.begin();
                part.settle();
                part.time(place.offset);
                let lasts = data::read(cell, place, part, &mut self.piece.unreadable);
                self.ends.insert(place.column.branch, self.now + lasts);
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
        let ends = |column: &Column| self.ends.get(&column.branch).copied();
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

    fn finish(mut self) -> Piece {
        let end = self.ends.values().copied().max().unwrap_or(self.now);
        let length = end.max(self.now) - self.bar_onset;
        if !length.is_zero() {
            let frame = Frame {
                number: self.number,
                onset: self.bar_onset,
                length,
                text: Span::new(self.bar_start, self.piece.span.end),
            };
            for part in &mut self.parts {
                part.timed();
                part.close(&frame, None);
            }
        }
        if self.piece.tempo.is_none() {
            self.piece.tempo = self.tempo_words;
        }
        // The leftmost spine is the lowest part.
        for (part, octave_high) in self.parts.into_iter().rev().map(PartBuilder::finish) {
            self.piece
                .unreadable
                .extend(octave_high.map(slips::octave_high));
            self.piece.parts.push(part);
        }
        self.piece
    }
}
