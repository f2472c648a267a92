//! When each bar of a part is played, in every pass.

use std::ops::Range;

use score::{Part, Performance, Undecided};
use theory::{Quarters, Seconds, Tempo, TempoMap};

use crate::piece::PieceReading;

/// Words for which time something is played, to follow the number of a bar: nothing for the first, `, second time`.
#[must_use]
pub fn which_time(pass: u32) -> String {
    let word = match pass {
        0 | 1 => return String::new(),
        2 => "second",
        3 => "third",
        4 => "fourth",
        5 => "fifth",
        6 => "sixth",
        pass => {
            let ending = match (pass % 10, pass % 100) {
                (_, 11..=13) => "th",
                (1, _) => "st",
                (2, _) => "nd",
                (3, _) => "rd",
                _ => "th",
            };
            return format!(", {pass}{ending} time");
        }
    };
    format!(", {word} time")
}

/// A part in the order in which it is played, with its times.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Performed {
    /// Stretches of the page in the order played.
    pub turns: Vec<Turn>,
    /// Why the order could not be decided, if so; the page is then read straight through.
    pub undecided: Option<Undecided>,
}

/// A stretch of the page, played from its first bar to its last.
#[derive(Debug, Clone, PartialEq)]
pub struct Turn {
    /// Its bars, by their places in the part.
    pub bars: Range<usize>,
    /// How much later it is played than it would be if the page were played straight through.
    pub later: Seconds,
}

impl Performed {
    /// How a part of a piece is played. A stretch is played at the tempo that the page gives it.
    pub(crate) fn of(performance: &Performance, part: &Part, tempo: &TempoMap) -> Self {
        let Performance { turns, undecided } = performance;
        let mut now = 0.0;
        let turns = turns.iter().cloned().map(|bars| {
            let (first, last) = (part.bars.get(bars.start), part.bars.get(bars.end - 1));
            let from = first.map_or(0.0, |bar| tempo.seconds(bar.onset).0);
            let to = last.map_or(from, |bar| tempo.seconds(bar.onset + bar.length).0);
            let later = Seconds(now - from);
            now += to - from;
            Turn { bars, later }
        });
        Self {
            turns: turns.collect(),
            undecided: undecided.clone(),
        }
    }

    /// For each bar, by its place in the part, how much later it is played in each of its passes than it would be if the
    /// page were played straight through.
    #[must_use]
    pub fn passes(&self) -> Vec<Vec<Seconds>> {
        let bars = self.turns.iter().map(|turn| turn.bars.end).max();
        let mut passes = vec![Vec::new(); bars.unwrap_or(0)];
        for turn in &self.turns {
            for bar in passes.get_mut(turn.bars.clone()).unwrap_or_default() {
                bar.push(turn.later);
            }
        }
        passes
    }
}

/// A tempo, from a moment of the performance on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pace {
    /// When it begins.
    pub from: Seconds,
    /// The same in quarter notes from the beginning of the performance.
    pub onset: Quarters,
    /// The tempo.
    pub tempo: Tempo,
}

impl PieceReading {
    /// How a part is played, by its place in the piece; nothing where there is no such part.
    #[must_use]
    pub fn performed(&self, part: usize) -> Performed {
        let Some(part) = self.piece.parts.get(part) else {
            return Performed::default();
        };
        Performed::of(
            &Performance::of(&self.piece, part.bars.len()),
            part,
            &self.tempo,
        )
    }

    /// The tempos of a part that is played like this, by its place in the piece, in the order of performance, each where it
    /// is another than before, and how many quarter notes the performance lasts.
    #[must_use]
    pub fn paces(&self, part: usize, performed: &Performed) -> (Vec<Pace>, Quarters) {
        let changes: Vec<(Quarters, Tempo)> = self.tempo.changes().collect();
        let part = self.piece.parts.get(part);
        let bars = part.map_or(&[][..], |part| &part.bars);
        let mut paces: Vec<Pace> = Vec::new();
        let mut now = Quarters::ZERO;
        for turn in &performed.turns {
            let last = turn.bars.end.checked_sub(1).and_then(|last| bars.get(last));
            let (Some(first), Some(last)) = (bars.get(turn.bars.start), last) else {
                continue;
            };
            let (from, to) = (first.onset, last.onset + last.length);
            let after = changes.partition_point(|(at, _)| *at <= from);
            let inside = changes.iter().skip(after).copied();
            let inside = inside.take_while(|(at, _)| *at < to);
            let begins = (from, self.tempo.tempo(from).0);
            for (at, tempo) in std::iter::once(begins).chain(inside) {
                if paces.last().is_none_or(|pace| pace.tempo != tempo) {
                    paces.push(Pace {
                        from: Seconds(self.tempo.seconds(at).0 + turn.later.0),
                        onset: now + (at - from),
                        tempo,
                    });
                }
            }
            now += to - from;
        }
        (paces, now)
    }
}
