//! The one way in which every notation's repeats are played out.

use std::collections::HashMap;
use std::ops::Range;

use super::Undecided;
use super::instructions::{Ending, Instructions, Repeat};
use crate::bounds::{MOST_PASSES, MOST_PLAYED_AGAIN};
use crate::order::Order;
use crate::route::{Jump, Until};
use crate::span::Span;

/// The stretches of bars of these weights in the order played; fails where that cannot be decided.
pub(super) fn unfold(
    weights: &[usize],
    said: &Instructions,
    order: Option<&Order>,
) -> Result<Vec<Range<usize>>, Undecided> {
    let bars = weights.len();
    let mut player = Player {
        said,
        weights,
        most: weights
            .iter()
            .sum::<usize>()
            .saturating_add(MOST_PLAYED_AGAIN),
        played: 0,
        turns: Vec::new(),
    };
    let (verses, asked) = said.verses.unwrap_or((1, Span::default()));
    if verses > MOST_PASSES {
        return Err(too_often(asked));
    }
    for _ in 0..verses {
        match order {
            // Tunes whose head lists parts that the music never names are played by their barlines.
            Some(order) if !said.labels.is_empty() => player.sections(bars, order)?,
            _ => player.through(0..bars, true, true)?,
        }
    }
    Ok(player.turns)
}

struct Player<'a> {
    said: &'a Instructions,
    /// How much there is to play in each bar.
    weights: &'a [usize],
    /// The most that is played.
    most: usize,
    played: usize,
    turns: Vec<Range<usize>>,
}

impl Player<'_> {
    /// Plays a bar.
    fn play(&mut self, bar: usize, asked: Span) -> Result<(), Undecided> {
        self.played += self.weights.get(bar).copied().unwrap_or(1);
        if self.played > self.most {
            return Err(too_often(asked));
        }
        match self.turns.last_mut() {
            Some(turn) if turn.end == bar => turn.end += 1,
            _ => self.turns.push(bar..bar + 1),
        }
        Ok(())
    }

    /// Plays the sections in the order that the head gives; what stands before the first label comes first.
    fn sections(&mut self, bars: usize, order: &Order) -> Result<(), Undecided> {
        let undecided = |problem: String| Undecided {
            span: order.span,
            problem,
            expected: "the labels of the sections in the order played, as in P:A(AB)2 or *>[A,A,B]",
        };
        let labels = &self.said.labels;
        let ends = labels.iter().skip(1).map(|(bar, _)| *bar).chain([bars]);
        let mut places: HashMap<&str, Range<usize>> = HashMap::new();
        for ((first, label), end) in labels.iter().zip(ends) {
            places.entry(label).or_insert(*first..end);
        }
        let Some(sections) = &order.sections else {
            return Err(undecided(
                "this order of sections is none, or far too long".to_owned(),
            ));
        };
        let before = labels.first().map_or(0, |(bar, _)| *bar);
        self.through(0..before, order.with_repeats, false)?;
        for label in sections {
            let Some(place) = places.get(label.as_str()) else {
                return Err(undecided(format!("no section here is called `{label}`")));
            };
            self.through(place.clone(), order.with_repeats, false)?;
        }
        Ok(())
    }

    /// Plays a stretch of the page.
    fn through(&mut self, range: Range<usize>, repeats: bool, ways: bool) -> Result<(), Undecided> {
        let said = self.said;
        let all = if repeats { &said.repeats[..] } else { &[] };
        if let Some(span) = said.nested.filter(|_| repeats) {
            return Err(Undecided {
                span,
                problem: "a repeat ends here, and it is not clear where it begins, as another one stands within it"
                    .to_owned(),
                expected: "the inner or the outer repeat written out",
            });
        }
        for repeat in all {
            decided(repeat)?;
        }
        let mut jumps = said.jumps.iter().peekable();
        let mut at = range.start;
        let mut pass = 1;
        // The way back that was taken, until its coda is reached.
        let mut gone: Option<&Jump> = None;
        // The repeat that was last begun anew.
        let mut begun: Option<usize> = None;
        while at < range.end {
            let place = all.partition_point(|repeat| repeat.first <= at);
            let repeat = place.checked_sub(1).and_then(|place| all.get(place));
            if begun != place.checked_sub(1) {
                begun = place.checked_sub(1);
                pass = 1;
            }
            if let Some(ending) = repeat.and_then(|repeat| ending_at(repeat, at)) {
                let last = repeat.map_or(1, |repeat| repeat.times);
                let now = if gone.is_some() { last } else { pass };
                if !ending.passes.contains(&now) {
                    at = ending.end;
                    continue;
                }
            }
            self.play(at, repeat.map_or(Span::default(), |repeat| repeat.span))?;
            if let Some(jump) = gone {
                let to_coda = jump.until != Some(Until::Fine) && said.to_codas.contains(&at);
                let coda = said.codas.iter().find(|coda| **coda > at);
                if let Some(coda) = coda.filter(|_| to_coda) {
                    at = *coda;
                    gone = None;
                    continue;
                }
                if jump.until != Some(Until::Coda) && said.fines.contains(&at) {
                    return Ok(());
                }
            }
            if let Some(repeat) = repeat.filter(|_| gone.is_none())
                && repeat.goes_back(at, pass)
            {
                pass += 1;
                at = repeat.first.max(range.start);
                continue;
            }
            while jumps.next_if(|(bar, ..)| *bar < at).is_some() {}
            if let Some((_, jump, span)) = jumps.next_if(|(bar, ..)| ways && *bar == at) {
                at = self.back_to(at, jump, *span)?;
                gone = Some(jump);
                continue;
            }
            at += 1;
        }
        Ok(())
    }

    /// The bar that a way back leads to.
    fn back_to(&self, from: usize, jump: &Jump, span: Span) -> Result<usize, Undecided> {
        let said = self.said;
        let undecided = |problem: &str, expected| Undecided {
            span,
            problem: problem.to_owned(),
            expected,
        };
        if jump.until == Some(Until::Fine) && said.fines.is_empty() {
            return Err(undecided(
                "this goes back and plays to a Fine, and there is none",
                "the word Fine where the piece ends",
            ));
        }
        let coda_after = || {
            let left = said.to_codas.iter();
            left.into_iter()
                .any(|left| said.codas.iter().any(|coda| coda > left))
        };
        if jump.until == Some(Until::Coda) && !coda_after() {
            return Err(undecided(
                "this goes back and then to a coda, and there is no place to leave for it, or no coda after that",
                "\"To Coda\" where it is left for, and the coda sign where it begins",
            ));
        }
        if !jump.to_segno {
            return Ok(0);
        }
        // A sign in the bar of the words may be drawn within them.
        let before = said.segnos.iter().rev().find(|segno| **segno < from);
        let before = before.or_else(|| said.segnos.iter().find(|segno| **segno == from));
        before.copied().ok_or_else(|| {
            undecided(
                "this goes back to the sign, and no sign stands before it",
                "the segno at the bar it goes back to",
            )
        })
    }
}

/// The ending of a repeat that begins with a bar.
fn ending_at(repeat: &Repeat, bar: usize) -> Option<&Ending> {
    repeat.endings.iter().find(|ending| ending.first == bar)
}

/// Whether it is clear how often a repeat is played, and how it ends each time.
fn decided(repeat: &Repeat) -> Result<(), Undecided> {
    if repeat.times > MOST_PASSES {
        return Err(too_often(repeat.span));
    }
    if let Some(unread) = repeat.endings.iter().find(|one| one.passes.is_empty()) {
        return Err(Undecided {
            span: unread.span,
            problem: "the number of this ending does not say in which pass it is played".to_owned(),
            expected: "the numbers of its passes, as in 1 or 1,3",
        });
    }
    let Some(first) = repeat.endings.first() else {
        return Ok(());
    };
    let within = |back: &usize| {
        let mut endings = repeat.endings.iter();
        endings.any(|one| (one.first..one.end).contains(back))
    };
    let goes_back_anyway = repeat.backs.iter().any(|back| !within(back));
    // The last pass may go on behind the endings.
    for pass in 1..repeat.times {
        let has_ending = repeat.endings.iter().any(|one| one.passes.contains(&pass));
        if !has_ending && !goes_back_anyway {
            return Err(Undecided {
                span: first.span,
                problem: format!("these endings leave out pass {pass} of {}", repeat.times),
                expected: "an ending for every pass, as in [1,3 ... [2",
            });
        }
    }
    Ok(())
}

fn too_often(span: Span) -> Undecided {
    Undecided {
        span,
        problem: format!(
            "this has music played more than {MOST_PASSES} times, or a very long piece again and again"
        ),
        expected: "fewer passes, or the music written out",
    }
}
