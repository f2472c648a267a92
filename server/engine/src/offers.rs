//! Every fix that a document's findings offer, each proven once, and together where they lie apart.

use std::collections::{HashMap, HashSet};
use std::convert::Infallible;

use notation::TextEdit;
use reading::on_all_cores;
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
    /// its bars is proven alone. All these proofs are made side by side.
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
        for fix in &written {
            let bars = places.bars(&fix.edits).filter(|_| is_local(fix.fix));
            let free = |group: &&mut Group<'_, '_>| {
                let bars = bars.as_deref();
                group.safety == fix.fix.safety && bars.is_some_and(|bars| group.is_free(bars))
            };
            match groups.iter_mut().find(free) {
                Some(group) => group.take(fix, bars),
                None => groups.push(Group::of(fix, bars)),
            }
        }
        let Ok(proven) = on_all_cores(&groups, |group| Ok::<_, Infallible>(group.proven(self)));
        let proven = proven.into_iter().flatten();
        Offers {
            edits: proven
                .map(|fix| (asked(fix.fix), fix.edits.clone()))
                .collect(),
        }
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
    /// The bars that they change; `None` where one stays alone.
    taken: Option<HashSet<BarOf>>,
}

impl<'w, 'a> Group<'w, 'a> {
    /// A group of one, which changes some bars, or stays alone.
    fn of(fix: &'w Written<'a>, bars: Option<Vec<BarOf>>) -> Self {
        Self {
            safety: fix.fix.safety,
            fixes: vec![fix],
            taken: bars.map(|bars| bars.into_iter().collect()),
        }
    }

    fn take(&mut self, fix: &'w Written<'a>, bars: Option<Vec<BarOf>>) {
        self.fixes.push(fix);
        let taken = self.taken.get_or_insert_default();
        taken.extend(bars.into_iter().flatten());
    }

    /// Whether these bars and those beside them are untouched.
    fn is_free(&self, bars: &[BarOf]) -> bool {
        self.taken.as_ref().is_some_and(|taken| {
            bars.iter().all(|at| {
                let beside = at.bar.saturating_sub(1)..=at.bar + 1;
                beside
                    .map(|bar| BarOf { bar, ..*at })
                    .all(|bar| !taken.contains(&bar))
            })
        })
    }

    /// Those that can be proven.
    fn proven(&self, before: &Judged) -> Vec<&'w Written<'a>> {
        let outcome = together::prove(before, &self.fixes);
        let refused: HashSet<usize> = outcome.refused.iter().map(|(at, _)| *at).collect();
        let proven = (0..).zip(&self.fixes);
        let proven = proven.filter(|(at, _)| !refused.contains(at));
        proven.map(|(_, fix)| *fix).collect()
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
