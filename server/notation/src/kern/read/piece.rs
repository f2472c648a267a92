//! One piece, put together from its measures; those that are known already are not read again.

use std::sync::Arc;

use score::bounds::{MOST_BARS, MOST_UNREADABLE};
use score::{
    Bar, Barline, Directive, Lost, Order, Part, Piece, Run, Runs, Span, Text, Unreadable,
    hold_unreadable,
};
use theory::Quarters;

use super::super::grid::lines;
use super::super::spot::Spots;
use super::measure::{self, Measure, ReadMeasure, State};
use super::measures::{Measures, Search};
use super::part::PartBuilder;
use super::{barline, slips};
use crate::digest::digest;

/// Reads a piece; gives back its measures too.
pub(super) fn read(text: &str, known: &Measures) -> (Piece, Measures) {
    let mut search = Search::new(known);
    let barlines: Vec<(usize, &str)> = lines(text)
        .filter(|(_, line)| line.as_bytes().first() == Some(&b'='))
        .collect();
    let mut kept = Measures::with_room(barlines.len() + 1);
    let mut reader = Assembly::new(text.len());
    let start = State::new(barlines.iter().find_map(|(_, line)| barline::number(line)));
    let mut before: Option<Arc<ReadMeasure>> = None;
    for index in 0..=barlines.len() {
        let from = index
            .checked_sub(1)
            .map_or(0, |opening| barlines[opening].0);
        let closing = barlines.get(index);
        let to = closing.map_or(text.len(), |(at, line)| at + line.len());
        let measure = Measure {
            text: &text[from..to],
            opened: index > 0,
            closed: closing.is_some(),
        };
        let (state, entry) = match &before {
            Some(before) => (&before.exit, before.exit_digest),
            None => (&start, start.digest()),
        };
        let key = entry.map(|entry| digest(&(measure, entry)));
        let same = key.and_then(|key| search.measure(key)).map(Arc::clone);
        let read = match same {
            Some(same) => {
                reader.note_spots(&same, from);
                same
            }
            None => Arc::new(measure::read(
                measure,
                from,
                state.clone(),
                &mut reader.spots,
            )),
        };
        reader.add(&read, from);
        if let Some(key) = key
            && read.exit_digest.is_some()
            && !read.reaches_back
        {
            kept.keep(key, Arc::clone(&read));
        }
        before = Some(read);
        if reader.count > MOST_BARS {
            reader.piece.unreadable.push(slips::slip(
                Span::new(to, text.len()),
                format!("this piece has more than {MOST_BARS} bars in all its parts, and is read no further"),
                "a file for each movement",
                Lost::Notes,
            ));
            break;
        }
    }
    let parts = before.map_or_else(Vec::new, |last| last.exit.parts.clone());
    let mut piece = reader.finish(parts);
    hold_unreadable(&mut piece.unreadable);
    (piece, kept)
}

/// A piece as its measures are put together.
struct Assembly {
    piece: Piece,
    spots: Spots,
    tempo_words: Option<(score::TempoMark, Span)>,
    onset: Quarters,
    /// The barline before the first bar of each part.
    openings: Vec<Option<Barline>>,
    /// The bars of each part.
    bars: Vec<Vec<Bar>>,
    /// How many they are in all.
    count: usize,
}

impl Assembly {
    fn new(length: usize) -> Self {
        Self {
            piece: Piece {
                span: Span::new(0, length),
                ..Piece::default()
            },
            spots: Spots::default(),
            tempo_words: None,
            onset: Quarters::ZERO,
            openings: Vec::new(),
            bars: Vec::new(),
            count: 0,
        }
    }

    /// Numbers the places of a measure that is not read again.
    fn note_spots(&mut self, measure: &ReadMeasure, at: usize) {
        for span in &measure.spots {
            self.spots.note(moved(*span, measure.start, at));
        }
    }

    /// Adds a measure that begins at a place.
    fn add(&mut self, measure: &ReadMeasure, at: usize) {
        let moved = |span: Span| moved(span, measure.start, at);
        let text = |text: &Text| Text {
            text: text.text.clone(),
            span: moved(text.span),
        };
        let (piece, said) = (&mut self.piece, &measure.piece);
        piece.title = piece.title.take().or_else(|| said.title.as_ref().map(text));
        let composer = || said.composer.as_ref().map(text);
        piece.composer = piece.composer.take().or_else(composer);
        let order = || {
            let order = said.order.clone()?;
            let span = moved(order.span);
            Some(Order { span, ..order })
        };
        piece.order = piece.order.take().or_else(order);
        for (place, tempo) in [
            (&mut piece.tempo, &said.tempo),
            (&mut self.tempo_words, &measure.tempo_words),
        ] {
            let tempo = tempo.as_ref().map(|(mark, span)| (mark, moved(*span)));
            *place = place
                .take()
                .or_else(|| tempo.map(|(mark, span)| (mark.clone(), span)));
        }
        piece
            .directives
            .extend(said.directives.iter().map(|directive| Directive {
                span: moved(directive.span),
                ..directive.clone()
            }));
        piece
            .unreadable
            .extend(said.unreadable.iter().map(|slip| Unreadable {
                span: moved(slip.span),
                ..slip.clone()
            }));
        if piece.unreadable.len() > 2 * MOST_UNREADABLE {
            hold_unreadable(&mut piece.unreadable);
        }
        self.add_bars(measure, at);
    }

    /// Makes room for the bars of so many parts; one that begins late has empty bars before.
    fn grow(&mut self, parts: usize) {
        let silent = |bar: &Bar| Bar {
            meter: None,
            runs: Runs::new(),
            close: None,
            ..*bar
        };
        while self.bars.len() < parts && self.count <= MOST_BARS {
            let others = self.bars.first().map_or(&[][..], Vec::as_slice);
            self.count += others.len();
            self.openings.push(None);
            self.bars.push(others.iter().map(silent).collect());
        }
    }

    fn add_bars(&mut self, measure: &ReadMeasure, at: usize) {
        self.grow(measure.bars.len());
        let close = |close: &Barline| Barline {
            span: moved(close.span, measure.start, at),
            ..close.clone()
        };
        if measure.length.is_zero() {
            let parts = self.bars.iter_mut().zip(&mut self.openings);
            for ((bars, opening), bar) in parts.zip(&measure.bars) {
                let known = match bars.last_mut() {
                    Some(last) => &mut last.close,
                    None => opening,
                };
                if let Some(more) = bar.close.as_ref().map(close) {
                    *known = Some(match known.take() {
                        Some(known) => known.joined(more),
                        None => more,
                    });
                }
            }
            return;
        }
        self.count += self.bars.len();
        for (bars, bar) in self.bars.iter_mut().zip(&measure.bars) {
            let run = bar.run.as_ref().map(|run| Run {
                base: run.base + at - measure.start,
                body: Arc::clone(&run.body),
            });
            bars.push(Bar {
                number: measure.number,
                onset: self.onset,
                length: measure.length,
                meter: bar.meter,
                runs: run.into_iter().collect(),
                close: bar.close.as_ref().map(close),
            });
        }
        self.onset += measure.length;
    }

    fn finish(mut self, parts: Vec<PartBuilder>) -> Piece {
        if self.piece.tempo.is_none() {
            self.piece.tempo = self.tempo_words;
        }
        // The leftmost spine is the lowest part.
        let lowest = parts.len().min(self.bars.len()).saturating_sub(1);
        for slip in &mut self.piece.unreadable {
            slip.part = slip.part.and_then(|spine| lowest.checked_sub(spine));
        }
        let bars = self.bars.into_iter().zip(self.openings);
        for (part, (bars, opening)) in parts.into_iter().zip(bars).rev() {
            let part = part.finish(&self.spots);
            // A part goes by its place in the score; spines of other kinds do not count.
            let id = (self.piece.parts.len() + 1).to_string();
            self.piece.parts.push(Part {
                id,
                opening,
                bars,
                ..part
            });
        }
        self.piece
    }
}

/// A place of a measure that was read at one place and now stands at another.
const fn moved(span: Span, from: usize, to: usize) -> Span {
    Span::new(span.start + to - from, span.end + to - from)
}
