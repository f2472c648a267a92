//! Barlines of voices that are played together brought under one another, without touching the music.

use std::collections::BTreeMap;

use notation::{Format, TextEdit};
use score::{PlacedPiece, Span};

use crate::guard::Refused;
use crate::judged::Judged;
use crate::proven::Proven;

/// More characters before a barline than this are left as they are: no screen shows a line that long.
const WIDEST: usize = 400;

impl Judged {
    /// The text with the barlines of voices that are played together under one another, as far as they stand on lines of
    /// as many bars: only spaces before barlines change. In notations that stand in columns by themselves nothing does.
    ///
    /// Fails, saying why, when the music would not be the same.
    pub fn align(&self) -> Result<Proven, Refused> {
        let mut edits = Vec::new();
        if self.document().format() == Format::Abc {
            let text = self.document().text();
            let lines = Lines::of(&text);
            for placed in &self.document().score().pieces {
                for system in systems(placed, &lines) {
                    align(&text, &system, &mut edits);
                }
            }
        }
        edits.sort_by_key(|edit| edit.span);
        self.prove_edits(edits, &[])
    }
}

/// Where the lines of a text begin.
struct Lines(Vec<usize>);

impl Lines {
    fn of(text: &str) -> Self {
        let ends = text.match_indices('\n').map(|(at, _)| at + 1);
        Self(std::iter::once(0).chain(ends).collect())
    }

    /// The start of the line that a byte stands in.
    fn start(&self, byte: usize) -> usize {
        let after = self.0.partition_point(|start| *start <= byte);
        after
            .checked_sub(1)
            .and_then(|line| self.0.get(line))
            .copied()
            .unwrap_or_default()
    }
}

/// A line of music: where it begins, and its barlines.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Line {
    start: usize,
    barlines: Vec<Span>,
}

/// The lines of a piece that are played together: those of the voices that begin with the same bar and hold as many.
fn systems(placed: &PlacedPiece, lines: &Lines) -> Vec<Vec<Line>> {
    let mut together: BTreeMap<(usize, usize), Vec<Line>> = BTreeMap::new();
    for part in &placed.piece.parts {
        let mut own: Vec<(usize, Line)> = Vec::new();
        for (bar, close) in part.bars.iter().enumerate() {
            let Some(close) = &close.close else { continue };
            let span = close.span.shifted(placed.base);
            let start = lines.start(span.start);
            match own.last_mut() {
                Some((_, line)) if line.start == start => line.barlines.push(span),
                _ => own.push((
                    bar,
                    Line {
                        start,
                        barlines: vec![span],
                    },
                )),
            }
        }
        for (first, line) in own {
            let key = (first, line.barlines.len());
            together.entry(key).or_default().push(line);
        }
    }
    let mut systems: Vec<Vec<Line>> = together.into_values().collect();
    // A line that several voices share has no column of its own.
    systems.retain(|lines| {
        let mut starts: Vec<usize> = lines.iter().map(|line| line.start).collect();
        starts.sort_unstable();
        starts.len() > 1 && starts.is_sorted_by(|one, next| one < next)
    });
    systems
}

/// The edits that bring the barlines of some lines under one another.
fn align(text: &str, lines: &[Line], edits: &mut Vec<TextEdit>) {
    let bars = lines.first().map_or(0, |line| line.barlines.len());
    // How far each line reaches by now, in characters.
    let mut reached = vec![0; lines.len()];
    let mut from: Vec<usize> = lines.iter().map(|line| line.start).collect();
    for bar in 0..bars {
        let mut stretches = Vec::with_capacity(lines.len());
        for ((line, from), reached) in lines.iter().zip(&from).zip(&reached) {
            let Some(stretch) = line
                .barlines
                .get(bar)
                .and_then(|barline| text.get(*from..barline.start))
            else {
                return;
            };
            let words = stretch.trim_end_matches([' ', '\t']);
            stretches.push((words.len(), reached + words.chars().count()));
        }
        let Some(column) = stretches.iter().map(|(_, width)| width + 1).max() else {
            return;
        };
        if column > WIDEST {
            return;
        }
        let places = lines
            .iter()
            .zip(stretches)
            .zip(from.iter_mut().zip(&mut reached));
        for ((line, (words, width)), (from, reached)) in places {
            let Some(barline) = line.barlines.get(bar) else {
                return;
            };
            let gap = Span::new(*from + words, barline.start);
            let spaces = " ".repeat(column - width);
            if text.get(gap.range()) != Some(spaces.as_str()) {
                edits.push(TextEdit {
                    span: gap,
                    text: spaces,
                });
            }
            *from = barline.end;
            *reached = column
                + text
                    .get(barline.range())
                    .map_or(0, |sign| sign.chars().count());
        }
    }
}
