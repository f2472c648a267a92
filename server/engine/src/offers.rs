//! Every fix that a document's findings offer, each proven once, and together where they lie apart.

use std::collections::{HashMap, HashSet};

use notation::TextEdit;
use rules::{Fix, Safety};
use score::{Intent, Score, Span};

use crate::judged::Judged;
use crate::together::{self, Written};

/// The proven fixes of a document.
#[derive(Debug, Default)]
pub struct Offers<'a> {
    edits: HashMap<Asked<'a>, Vec<TextEdit>>,
}

/// What makes a fix; two findings may ask for the same.
type Asked<'a> = (Safety, &'a [Intent]);

fn asked(fix: &Fix) -> Asked<'_> {
    (fix.safety, &fix.intents)
}

impl<'a> Offers<'a> {
    /// The text edits of a fix; `None` where it could not be proven, and so is not offered.
    #[must_use]
    pub fn edits(&self, fix: &'a Fix) -> Option<&[TextEdit]> {
        self.edits.get(&asked(fix)).map(Vec::as_slice)
    }
}

impl Judged {
    /// Proves every fix that the findings offer, each for itself.
    ///
    /// Fixes are read again together where each changes bars of its own and a bar that nobody touches lies between any
    /// two: since everything in that bar is proven to stay what it was, and by safe fixes to be played as it was, neither
    /// rests on the other. Marks of fixes for review may change how notes behind them are played, which begins with the
    /// first of those read together; what they sound as, and the page, are compared from end to end. What reaches beyond
    /// its bars is proven alone.
    #[must_use]
    pub fn offers(&self) -> Offers<'_> {
        let mut known = HashSet::new();
        let text = self.document().text();
        let writer = self.document().writer(&text);
        let fixes = self.findings().iter().flat_map(|finding| &finding.fixes);
        let written: Vec<Written<'_>> = fixes
            .filter(|fix| known.insert(asked(fix)))
            .filter_map(|fix| crate::proven::write(&writer, fix).ok())
            .collect();
        let places = Places::of(self.document().score());
        let mut groups: Vec<Group<'_, '_>> = Vec::new();
        let mut offers = Offers::default();
        for fix in &written {
            let bars = places.bars(&fix.edits).filter(|_| is_local(fix.fix));
            let Some(bars) = bars else {
                if self.prove_edits(fix.edits.clone(), &[fix.fix]).is_ok() {
                    offers.edits.insert(asked(fix.fix), fix.edits.clone());
                }
                continue;
            };
            let safety = fix.fix.safety;
            let free = |group: &Group<'_, '_>| group.safety == safety && group.is_free(&bars);
            let group = groups.iter().position(free).unwrap_or_else(|| {
                groups.push(Group {
                    safety,
                    fixes: Vec::new(),
                    taken: HashSet::new(),
                });
                groups.len() - 1
            });
            if let Some(group) = groups.get_mut(group) {
                group.taken.extend(bars);
                group.fixes.push(fix);
            }
        }
        for group in groups {
            let outcome = together::prove(self, &group.fixes);
            let refused: HashSet<usize> = outcome.refused.iter().map(|(at, _)| *at).collect();
            let proven = (0..).zip(group.fixes);
            let proven = proven.filter(|(at, _)| !refused.contains(at));
            offers
                .edits
                .extend(proven.map(|(_, fix)| (asked(fix.fix), fix.edits.clone())));
        }
        offers
    }
}

/// Whether a fix only changes notes and marks at their own places.
fn is_local(fix: &Fix) -> bool {
    fix.intents.iter().all(|intent| {
        matches!(
            intent,
            Intent::MoveOctaves { .. }
                | Intent::MoveNote { .. }
                | Intent::ShowAccidental { .. }
                | Intent::AddMark { .. }
                | Intent::ReplaceMark { .. }
                | Intent::RemoveMark { .. }
        )
    })
}

/// Fixes that lie apart.
struct Group<'w, 'a> {
    safety: Safety,
    fixes: Vec<&'w Written<'a>>,
    taken: HashSet<BarOf>,
}

impl Group<'_, '_> {
    /// Whether these bars and those beside them are untouched.
    fn is_free(&self, bars: &[BarOf]) -> bool {
        bars.iter().all(|at| {
            let beside = at.bar.saturating_sub(1)..=at.bar + 1;
            beside
                .map(|bar| BarOf { bar, ..*at })
                .all(|bar| !self.taken.contains(&bar))
        })
    }
}

/// A bar of a part, all by their places.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
struct BarOf {
    piece: usize,
    part: usize,
    bar: usize,
}

/// Where the text of each bar stands, in document bytes.
struct Places {
    /// For each part the stretches of text of its bars, in the order of the text.
    parts: Vec<Vec<(Span, BarOf)>>,
}

impl Places {
    fn of(score: &Score) -> Self {
        let mut parts = Vec::new();
        for (piece, placed) in score.pieces.iter().enumerate() {
            for (part, read) in placed.piece.parts.iter().enumerate() {
                let mut stretches = Vec::new();
                for (bar, read) in read.bars.iter().enumerate() {
                    let at = BarOf { piece, part, bar };
                    stretches.extend(read.runs.iter().map(|run| {
                        let start = placed.base + run.base;
                        (Span::new(start, start + run.body.text_length), at)
                    }));
                }
                stretches.sort_by_key(|(span, _)| *span);
                parts.push(stretches);
            }
        }
        Self { parts }
    }

    /// The bars that edits change; `None` where one of them stands in no bar.
    fn bars(&self, edits: &[TextEdit]) -> Option<Vec<BarOf>> {
        let mut bars = Vec::new();
        for edit in edits {
            let before = bars.len();
            for stretches in &self.parts {
                let from = stretches.partition_point(|(span, _)| span.end < edit.span.start);
                let met = stretches.iter().skip(from);
                let met = met.take_while(|(span, _)| span.start <= edit.span.end);
                bars.extend(met.map(|(_, bar)| *bar));
            }
            if bars.len() == before {
                return None;
            }
        }
        Some(bars)
    }
}
