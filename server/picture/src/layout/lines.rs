//! Bars on lines: springs between columns, as many bars to a line as it holds, and each line filled.

use std::ops::Range;

use score::Clef;
use theory::{Key, Quarters};

use super::columns::{self, Laid};
use super::stems;
use crate::glyph::SPACE;
use crate::staff::gather::Start;
use crate::staff::{Change, Close, Measure, Sounding};

/// From a barline to what follows it, and from the last column's ink to the barline.
const AFTER_BARLINE: f64 = 1.1 * SPACE;
const BEFORE_BARLINE: f64 = 0.7 * SPACE;
/// How much wider than a single line one with repeat dots is.
const REPEAT: f64 = 1.8 * SPACE;
/// Between the ink of two columns.
const BETWEEN: f64 = 0.45 * SPACE;
/// A quarter note's column, in pixels; others by the root of their length, which is near what engravers' tables have.
const QUARTER: f64 = 3.7 * SPACE;
/// A bar of rest, and several drawn together.
const REST: f64 = 5.5 * SPACE;
const RESTS: f64 = 9.0 * SPACE;
/// A last line that is nearly full is filled too.
const NEARLY: f64 = 0.75;
/// A line is spread no wider.
const WIDEST: f64 = 2.2;

/// A measure laid out but for its place.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct LaidMeasure {
    pub(crate) columns: Vec<Laid>,
    /// From the barline before it to its first column's place, without changes of clef, signature and metre.
    lead: f64,
    /// How wide the changes at its start are.
    change: f64,
    /// From each column's place to the next, or the barline: the least and what looks well.
    gaps: Vec<(f64, f64)>,
    /// Clef and signature at its start, changes there counted.
    pub(crate) clef: Clef,
    pub(crate) key: Key,
}

/// What stands on one line: measures, the first and last of which may be cut.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Line {
    pub(crate) pieces: Vec<Piece>,
    /// What it begins with.
    pub(crate) begins: Change,
    pub(crate) right: f64,
}

/// A measure, or a part of one, on a line.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Piece {
    pub(crate) measure: usize,
    /// Which of its columns.
    pub(crate) columns: Range<usize>,
    /// Where it begins: the barline before it, or the end of the line's head.
    pub(crate) left: f64,
    /// Where it ends: its barline.
    pub(crate) right: f64,
    /// The places of its columns.
    pub(crate) places: Vec<f64>,
    /// Whether changes at its start stand in it, and not at the head of the line.
    pub(crate) shows_change: bool,
}

/// Lays every measure.
pub(crate) fn measures(start: &Start, all: &[Measure<'_>]) -> Vec<LaidMeasure> {
    let (mut clef, mut key) = (start.clef, start.key);
    let laid = all.iter().map(|measure| {
        let up = stems::directions(measure);
        let columns = measure.columns.iter().enumerate();
        let columns: Vec<Laid> = columns
            .map(|(place, column)| columns::lay(place, column, &up))
            .collect();
        if let Some(first) = measure.columns.first() {
            clef = first.change.clef.unwrap_or(clef);
            key = first.change.key.map_or(key, |(new, _)| new);
        }
        let here = (clef, key);
        for column in measure.columns.iter().skip(1) {
            clef = column.change.clef.unwrap_or(clef);
            key = column.change.key.map_or(key, |(new, _)| new);
        }
        let repeat = if measure.repeat_start {
            1.0 * SPACE
        } else {
            0.0
        };
        LaidMeasure {
            lead: AFTER_BARLINE + repeat + columns.first().map_or(0.0, |first| first.left),
            change: measure.columns.first().map_or(0.0, |first| {
                columns::change_width(&first.change, columns::SMALL_CLEF)
            }),
            gaps: gaps(measure, &columns),
            columns,
            clef: here.0,
            key: here.1,
        }
    });
    laid.collect()
}

fn gaps(measure: &Measure<'_>, columns: &[Laid]) -> Vec<(f64, f64)> {
    let chords = || measure.columns.iter().flat_map(|column| &column.chords);
    let rests = chords().all(|chord| {
        matches!(
            chord.sounding,
            Sounding::Rest { whole_bar: true } | Sounding::Nothing
        )
    });
    if rests && columns.len() == 1 {
        let wide = if measure.bars > 1 { RESTS } else { REST } + barline(measure.close);
        return vec![(wide, wide)];
    }
    let offsets = measure.columns.iter().map(|column| column.offset);
    let next = offsets.clone().skip(1).chain([measure.length]);
    let places = offsets.zip(next).enumerate();
    let gaps = places.map(|(place, (from, to))| {
        let ink = columns.get(place).map_or(0.0, |laid| laid.right);
        let least = match columns.get(place + 1) {
            Some(next) => ink + BETWEEN + next.left,
            None => ink + BEFORE_BARLINE + barline(measure.close),
        };
        (least, least.max(length_width(to - from)))
    });
    gaps.collect()
}

/// How much wider than a single line a barline is.
pub(crate) const fn barline(close: Close) -> f64 {
    match close {
        Close::Single => 0.0,
        Close::Double | Close::Final => 0.8 * SPACE,
        Close::Repeat => REPEAT,
    }
}

/// What looks well between columns so far apart in time.
fn length_width(quarters: Quarters) -> f64 {
    QUARTER * quarters.to_f64().clamp(0.0, 8.0).sqrt()
}

impl LaidMeasure {
    fn least(&self, from: usize) -> f64 {
        self.gaps.iter().skip(from).map(|(least, _)| least).sum()
    }

    fn wide(&self, from: usize) -> f64 {
        self.gaps.iter().skip(from).map(|(_, wide)| wide).sum()
    }
}

/// Shares measures out to lines between `left` and `right`; `None` where more than `most` lines are needed.
pub(crate) fn cut(
    start: &Start,
    all: &[Measure<'_>],
    laid: &[LaidMeasure],
    (left, right): (f64, f64),
    most: usize,
) -> Option<Vec<Line>> {
    let mut lines = Vec::new();
    let mut at = (0, 0);
    while at.0 < laid.len() {
        if lines.len() >= most {
            return None;
        }
        let begins = begins(start, all, laid, at);
        let head = left + columns::change_width(&begins, 1.0) + 0.8 * SPACE;
        let (pieces, next) = fill(laid, at, right - head);
        let done = next.0 >= laid.len();
        lines.push(place(laid, pieces, begins, (head, right), done));
        at = next;
    }
    Some(lines)
}

/// The clef and signature at the head of a line, and the metre where it changes there.
fn begins(
    start: &Start,
    all: &[Measure<'_>],
    laid: &[LaidMeasure],
    (measure, column): (usize, usize),
) -> Change {
    if (measure, column) == (0, 0) {
        return Change::at_start(start, all.first());
    }
    let Some(it) = laid.get(measure) else {
        return Change::default();
    };
    let changed = all
        .get(measure)
        .filter(|_| column == 0)
        .and_then(|measure| measure.columns.first());
    let key = changed
        .and_then(|first| first.change.key)
        .unwrap_or((it.key, Key::NONE));
    Change {
        clef: Some(it.clef),
        key: Some(key),
        meter: changed.and_then(|first| first.change.meter),
    }
}

type Taken = (usize, Range<usize>);

/// The measures from a place on that fit into a width, at least one column; and where the next line begins.
fn fill(
    laid: &[LaidMeasure],
    (first, from): (usize, usize),
    width: f64,
) -> (Vec<Taken>, (usize, usize)) {
    let mut taken = Vec::new();
    let mut used = 0.0;
    for (place, measure) in laid.iter().enumerate().skip(first) {
        let from = if place == first { from } else { 0 };
        let change = if place == first { 0.0 } else { measure.change };
        let wide = measure.lead + change + measure.wide(from);
        let least = measure.lead + change + measure.least(from);
        if used + wide > width && !taken.is_empty() || least > width {
            if !taken.is_empty() {
                return (taken, (place, from));
            }
            // One measure is wider than the line: it is cut where it no longer fits.
            let mut until = from;
            let mut wide = measure.lead;
            for (least, _) in measure.gaps.iter().skip(from) {
                if wide + least > width && until > from {
                    break;
                }
                wide += least;
                until += 1;
            }
            let whole = until >= measure.gaps.len();
            let next = if whole {
                (place + 1, 0)
            } else {
                (place, until)
            };
            return (vec![(place, from..until)], next);
        }
        used += wide;
        taken.push((place, from..measure.gaps.len()));
    }
    (taken, (laid.len(), 0))
}

/// Gives every column of a line its place: springs are drawn out, or pressed together no more than their least.
fn place(
    laid: &[LaidMeasure],
    pieces: Vec<Taken>,
    begins: Change,
    (head, right): (f64, f64),
    last: bool,
) -> Line {
    let mut rigid = 0.0;
    let mut springs: Vec<(f64, f64)> = Vec::new();
    for (at, (measure, columns)) in pieces.iter().enumerate() {
        let Some(it) = laid.get(*measure) else {
            continue;
        };
        rigid += it.lead + if at == 0 { 0.0 } else { it.change };
        springs.extend(it.gaps.get(columns.clone()).unwrap_or_default());
    }
    let room = right - head - rigid;
    let natural: f64 = springs.iter().map(|(_, wide)| wide).sum();
    let factor = if last && natural < room * NEARLY {
        1.0
    } else {
        stretch(&springs, room)
    };
    let mut x = head;
    let mut placed = Vec::with_capacity(pieces.len());
    for (at, (measure, columns)) in pieces.into_iter().enumerate() {
        let Some(it) = laid.get(measure) else {
            continue;
        };
        let left = x;
        x += it.lead + if at == 0 { 0.0 } else { it.change };
        let mut places = Vec::with_capacity(columns.len());
        for (least, wide) in it.gaps.get(columns.clone()).unwrap_or_default() {
            places.push(x);
            x += least.max(wide * factor);
        }
        placed.push(Piece {
            measure,
            shows_change: at > 0,
            columns,
            left,
            right: x,
            places,
        });
    }
    Line {
        right: x,
        pieces: placed,
        begins,
    }
}

/// By how much springs are drawn out to fill a room.
fn stretch(springs: &[(f64, f64)], room: f64) -> f64 {
    let filled = |factor: f64| -> f64 {
        springs
            .iter()
            .map(|(least, wide)| least.max(wide * factor))
            .sum()
    };
    let (mut low, mut high) = (0.0, WIDEST);
    if filled(high) <= room {
        return high;
    }
    // So many halvings tell pixels apart on any screen.
    for _ in 0..30 {
        let middle = f64::midpoint(low, high);
        if filled(middle) > room {
            high = middle;
        } else {
            low = middle;
        }
    }
    low
}
