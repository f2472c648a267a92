//! From measures to parts: bars in line with each other, numbered as the file numbers them.

use std::collections::{HashMap, HashSet};
use std::sync::Arc;

use score::bounds::{MOST_PARTS, MOST_UNREADABLE};
use score::{
    Bar, Barline, Directive, EventKind, Lost, Part, Piece, PlacedPiece, Run, Runs, Score, Span,
    Unreadable, hold_unreadable,
};
use theory::{Meter, PagePitch, Quarters};

use super::comments;
use super::header::{Header, PartHead};
use super::measure::ReadMeasure;
use crate::musicxml::outline::{Chunk, Outline};

/// The measures of one part in order.
type Column<'a> = (&'a Chunk, &'a ReadMeasure);

/// The score of a text that has a root.
///
/// `words` gives the text around a comment outside the measures.
pub(super) fn score(
    outline: &Outline,
    header: &Header,
    reads: &[&ReadMeasure],
    length: usize,
    root: Span,
    words: &dyn Fn(Span) -> (String, usize),
) -> Score {
    let columns: Vec<Column<'_>> = outline.chunks.iter().zip(reads.iter().copied()).collect();
    let mut by_part: HashMap<&str, Vec<Column<'_>>> = HashMap::new();
    for of_part in columns.chunk_by(|(one, _), (next, _)| one.part == next.part) {
        if let Some((first, _)) = of_part.first() {
            by_part.entry(&first.part).or_default().extend(of_part);
        }
    }
    let lengths = lengths(outline, reads);
    let onsets: Vec<Quarters> = lengths
        .iter()
        .scan(Quarters::ZERO, |at, length| {
            let onset = *at;
            *at += *length;
            Some(onset)
        })
        .collect();
    let mut piece = Piece {
        title: header.title.clone(),
        movement: header.movement.clone(),
        composer: header.composer.clone(),
        span: Span::new(root.start, length),
        directives: header.directives.clone(),
        unreadable: header.slips.iter().chain(&outline.slips).cloned().collect(),
        ..Piece::default()
    };
    for (chunk, read) in outline.chunks.iter().zip(reads) {
        let base = chunk.span.start;
        piece
            .directives
            .extend(read.directives.iter().map(|said| Directive {
                span: said.span.shifted(base),
                ..said.clone()
            }));
        if piece.unreadable.len() > 2 * MOST_UNREADABLE {
            hold_unreadable(&mut piece.unreadable);
        }
        piece
            .unreadable
            .extend(read.slips.iter().map(|slip| Unreadable {
                span: slip.span.shifted(base),
                ..slip.clone()
            }));
    }
    for head in &header.parts {
        let measures = by_part.remove(head.id.as_str()).unwrap_or_default();
        piece
            .parts
            .push(part(head, header.concert, &measures, &lengths, &onsets));
    }
    claim(outline, &mut piece);
    strangers(outline, &by_part, &lengths, &onsets, &mut piece);
    let mut score = Score::default();
    for comment in &outline.comments {
        let (text, base) = words(*comment);
        let Some(said) = comments::directive(&text, comment.relative_to(base)) else {
            continue;
        };
        let said = Directive {
            span: said.span.shifted(base),
            ..said
        };
        // What stands before the root speaks of the file.
        if comment.start < root.start {
            score.directives.push(said);
        } else {
            piece.directives.push(said);
        }
    }
    hold_unreadable(&mut piece.unreadable);
    score.pieces.push(PlacedPiece {
        base: 0,
        piece: Arc::new(piece),
    });
    score
}

/// Gives what could not be read within a measure to the part whose measure it is.
fn claim(outline: &Outline, piece: &mut Piece) {
    let places: HashMap<&str, usize> = piece
        .parts
        .iter()
        .enumerate()
        .map(|(index, part)| (part.id.as_str(), index))
        .collect();
    for slip in &mut piece.unreadable {
        let behind = outline
            .chunks
            .partition_point(|chunk| chunk.span.start <= slip.span.start);
        let chunk = behind
            .checked_sub(1)
            .and_then(|index| outline.chunks.get(index));
        slip.part = chunk
            .filter(|chunk| slip.span.start < chunk.span.end)
            .and_then(|chunk| places.get(&*chunk.part).copied());
    }
}

/// Parts that the list does not know come after the others.
fn strangers(
    outline: &Outline,
    left: &HashMap<&str, Vec<Column<'_>>>,
    lengths: &[Quarters],
    onsets: &[Quarters],
    piece: &mut Piece,
) {
    let mut known: HashSet<&str> = HashSet::new();
    for chunk in &outline.chunks {
        let id: &str = &chunk.part;
        let Some(measures) = left.get(id).filter(|_| !known.contains(id)) else {
            continue;
        };
        if known.len() == MOST_PARTS {
            break;
        }
        known.insert(id);
        let head = Span::new(chunk.span.start, chunk.span.start + chunk.head);
        piece.unreadable.push(Unreadable {
            span: head,
            problem: format!("the part-list knows no part `{id}`"),
            expected: format!("<score-part id=\"{id}\"> in the part-list"),
            lost: Lost::Notes,
            part: None,
        });
        let stranger = PartHead {
            id: id.to_owned(),
            name: None,
            witnesses: Vec::new(),
            head,
        };
        piece
            .parts
            .push(part(&stranger, false, measures, lengths, onsets));
    }
}

/// How long each column of measures lasts: as its longest part, since parts that say less still wait for the others.
fn lengths(outline: &Outline, reads: &[&ReadMeasure]) -> Vec<Quarters> {
    let mut columns: Vec<(Quarters, bool, Option<Meter>)> = Vec::new();
    for (chunk, read) in outline.chunks.iter().zip(reads) {
        if columns.len() <= chunk.column {
            columns.resize(chunk.column + 1, (Quarters::ZERO, false, None));
        }
        let column = &mut columns[chunk.column];
        column.0 = column.0.max(read.reach);
        column.1 |= chunk.is_unended() || !read.slips.is_empty();
        column.2 = column.2.or(read.exit.meter);
    }
    columns
        .into_iter()
        .map(|(reach, broken, meter)| {
            let bar = meter.map_or(Quarters::ZERO, Meter::bar);
            // What is broken may have lost its end; the bars after it stay where they were.
            if reach.is_zero() || broken {
                reach.max(bar)
            } else {
                reach
            }
        })
        .collect()
}

fn part(
    head: &PartHead,
    concert: bool,
    measures: &[Column<'_>],
    lengths: &[Quarters],
    onsets: &[Quarters],
) -> Part {
    let mut part = Part {
        cues: score::Cues::SmallNotes,
        id: head.id.clone(),
        name: head.name.clone(),
        witnesses: head.witnesses.clone(),
        head: head.head,
        pitch: concert.then_some(PagePitch::Sounding),
        ..Part::default()
    };
    let mut before: Option<u32> = None;
    for (index, (chunk, read)) in measures.iter().enumerate() {
        let number = number(measures, index, before);
        before = Some(number);
        if let Some(left) = &read.left {
            match part.bars.last_mut() {
                Some(last) => open(last, left, chunk.span.start),
                None => {
                    part.opening = Some(Barline {
                        span: left.span.shifted(chunk.span.start),
                        ..left.clone()
                    });
                }
            }
        }
        let end = Span::new(chunk.span.end - chunk.tail, chunk.span.end);
        let close = read.right.as_ref().map_or(
            Barline {
                span: end,
                ..Barline::default()
            },
            |right| Barline {
                span: right.span.shifted(chunk.span.start),
                // An ending written at the right barline begins with its own measure.
                ending: None,
                ..right.clone()
            },
        );
        part.bars.push(Bar {
            number,
            onset: onsets.get(chunk.column).copied().unwrap_or_default(),
            length: lengths.get(chunk.column).copied().unwrap_or_default(),
            meter: read.exit.meter,
            runs: Runs::from_buf([Run {
                base: chunk.span.start,
                body: Arc::clone(&read.body),
            }]),
            close: Some(close),
        });
    }
    start(&mut part, measures);
    part
}

/// What a measure's left barline says is said by the barline that closes the bar before.
fn open(last: &mut Bar, left: &Barline, base: usize) {
    if let Some(close) = &mut last.close {
        close.repeat_start |= left.repeat_start;
        close.section_end |= left.section_end && !left.repeat_start;
        close.ending = left.ending.clone();
        if close.repeat_start || close.ending.is_some() {
            close.span = left.span.shifted(base);
        }
    }
}

/// A measure's number as players count. A piece of a measure without a number of its own has the one before it.
fn number(measures: &[Column<'_>], index: usize, before: Option<u32>) -> u32 {
    let leading = |chunk: &Chunk| -> Option<u32> {
        let text = chunk.number.trim();
        let digits = text.len() - text.trim_start_matches(|c: char| c.is_ascii_digit()).len();
        text[..digits].parse().ok()
    };
    let (chunk, _) = measures[index];
    let own = leading(chunk);
    if index == 0 && chunk.implicit {
        let next = measures.get(1).and_then(|(next, _)| leading(next));
        return own.filter(|own| next != Some(*own)).unwrap_or(0);
    }
    own.or(before).unwrap_or(1)
}

/// What holds at the start: all that is said before the first note or rest.
fn start(part: &mut Part, measures: &[Column<'_>]) {
    let Some((chunk, read)) = measures.first() else {
        return;
    };
    let events = read
        .body
        .events
        .iter()
        .take_while(|event| !matches!(event.kind, EventKind::Note(_) | EventKind::Rest(_)));
    for event in events {
        let span = event.span.shifted(chunk.span.start);
        match &event.kind {
            EventKind::Key(key) => part.key = Some((*key, span)),
            EventKind::Meter(meter) => part.meter = *meter,
            EventKind::Clef(clef) => part.clef = Some(*clef),
            EventKind::Transposition(recorded) => {
                part.transposition = Some((*recorded, span));
                part.transposition_spelled = read.spelled.unwrap_or(false);
            }
            _ => {}
        }
    }
}
