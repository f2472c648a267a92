//! Fixes proven together, and repeated until nothing is left to fix.

use std::collections::HashSet;
use std::hash::{BuildHasher as _, BuildHasherDefault, DefaultHasher};

use notation::Document;
use rules::{Finding, Fix, Safety};
use score::Intent;

use crate::guard::Refused;
use crate::judged::Judged;
use crate::proven::write;
use crate::together::{self, Taken, Written};

/// Which fixes to apply.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Which {
    /// Those that are proven to keep the music.
    Safe,
    /// Also those that change it: of each finding the first that can be proven.
    Review,
}

/// A fix that was applied, or refused.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Applied {
    /// The finding's rule.
    pub rule: &'static str,
    /// The part's name.
    pub part: Option<String>,
    /// The bar's number.
    pub bar: Option<u32>,
    /// What the fix does.
    pub title: String,
}

/// What fixing came to.
#[derive(Debug, Clone)]
pub struct Fixed {
    /// The document as it is now, judged.
    pub judged: Judged,
    /// What was fixed.
    pub applied: Vec<Applied>,
    /// What was not, and why.
    pub refused: Vec<(Applied, Refused)>,
    /// Whether fixing came to an end: where it did not, fixes undo each other, and the outcome is nobody's wish.
    pub settled: bool,
}

impl Judged {
    /// Applies fixes round after round until none is left that may be applied.
    ///
    /// Safe fixes go first. One that changes how the music is played is judged again before the next in its part, since
    /// what it changes may have been the reason for the other. What a finding offers besides its first fix is tried last,
    /// where nothing else makes that one go.
    #[must_use]
    pub fn fix_all(&self, which: Which) -> Fixed {
        let mut fixed = Fixed {
            judged: self.clone(),
            applied: Vec::new(),
            refused: Vec::new(),
            settled: true,
        };
        let mut seen = HashSet::from([digest(self.document())]);
        // Each round fixes at least one finding; a few may come up on the way.
        let most_rounds = 2 * self.findings().len() + SPARE_ROUNDS;
        // Whether something was changed since a fix was refused, which may then be proven after all.
        let mut stale = false;
        // Whether findings are at what they offer besides; what was refused is not tried again until that is done.
        let mut besides = false;
        for round in 0.. {
            let judged = fixed.judged.clone();
            let of = |choice| {
                let safe = chosen(judged.findings(), Safety::Safe, choice, &fixed.refused);
                if !safe.is_empty() || which == Which::Safe {
                    return safe;
                }
                let review = chosen(judged.findings(), Safety::Review, choice, &fixed.refused);
                one_by_one(review)
            };
            let mut candidates = of(Choice::First);
            if candidates.is_empty() && (besides || !stale) {
                candidates = of(Choice::Besides);
                besides = !candidates.is_empty();
            }
            if candidates.is_empty() && stale {
                stale = false;
                fixed.refused.clear();
                continue;
            }
            if candidates.is_empty() {
                break;
            }
            let changed = apply(&mut fixed, &candidates);
            stale = !fixed.refused.is_empty() && (stale || changed);
            if changed && (round >= most_rounds || !seen.insert(digest(fixed.judged.document()))) {
                fixed.settled = false;
                break;
            }
        }
        fixed
    }
}

/// Rounds that may go beyond twice the findings there were.
const SPARE_ROUNDS: usize = 20;

fn digest(document: &Document) -> u64 {
    let hasher = BuildHasherDefault::<DefaultHasher>::default();
    hasher.hash_one(document.text())
}

/// Which of the fixes of a finding to try.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Choice {
    /// The first.
    First,
    /// The first that has not been refused, where the first of all has.
    Besides,
}

/// A fix to try, and what is told of it.
type Candidate<'a> = (Applied, &'a Fix);

/// A fix of a kind that each finding offers, once where several findings share one.
fn chosen<'a>(
    findings: &'a [Finding],
    safety: Safety,
    choice: Choice,
    refused: &[(Applied, Refused)],
) -> Vec<Candidate<'a>> {
    let refused: HashSet<&Applied> = refused.iter().map(|(entry, _)| entry).collect();
    let mut known: HashSet<&[Intent]> = HashSet::new();
    let mut chosen = Vec::new();
    for finding in findings {
        let fixes = finding.fixes.iter().filter(|fix| fix.safety == safety);
        let mut fixes = fixes.map(|fix| {
            let entry = Applied {
                rule: finding.rule,
                part: finding.who(),
                bar: finding.bar,
                title: fix.title.clone(),
            };
            (entry, fix)
        });
        let untried = |(entry, _): &Candidate<'_>| !refused.contains(entry);
        let first = fixes.next();
        let candidate = match choice {
            Choice::First => first.filter(untried),
            Choice::Besides => first
                .filter(|first| !untried(first))
                .and_then(|_| fixes.find(untried)),
        };
        chosen.extend(candidate.filter(|(_, fix)| known.insert(&fix.intents)));
    }
    chosen
}

/// Of fixes that write or take away marks, the first in each part; fixes that only move notes do not disturb each other.
fn one_by_one(candidates: Vec<Candidate<'_>>) -> Vec<Candidate<'_>> {
    let mut marked: HashSet<Option<String>> = HashSet::new();
    let moves = |fix: &Fix| {
        fix.intents
            .iter()
            .all(|intent| !intent.moved_notes().is_empty())
    };
    candidates
        .into_iter()
        .filter(|(entry, fix)| moves(fix) || marked.insert(entry.part.clone()))
        .collect()
}

/// Applies as many fixes at once as do not meet and can be proven; whether anything was changed.
fn apply(fixed: &mut Fixed, candidates: &[Candidate<'_>]) -> bool {
    let mut free: Vec<(&Applied, Written<'_>)> = Vec::new();
    let mut taken = Taken::default();
    let text = fixed.judged.document().text();
    let writer = fixed.judged.document().writer(&text);
    for (entry, fix) in candidates {
        match write(&writer, fix) {
            // What meets another waits for the next round.
            Ok(written) if taken.take(&written.edits) => free.push((entry, written)),
            Ok(_) => {}
            Err(why) => fixed.refused.push((entry.clone(), why)),
        }
    }
    if free.is_empty() {
        return false;
    }
    let fixes: Vec<&Written<'_>> = free.iter().map(|(_, written)| written).collect();
    let outcome = together::prove(&fixed.judged, &fixes);
    let told = |index: usize| free.get(index).map(|(entry, _)| (*entry).clone());
    let refused = outcome.refused.into_iter();
    fixed
        .refused
        .extend(refused.filter_map(|(index, why)| Some((told(index)?, why))));
    match outcome.proven {
        Some(proven) => {
            let accepted = outcome.accepted.into_iter();
            fixed.applied.extend(accepted.filter_map(told));
            fixed.judged = proven.judge();
            true
        }
        None => false,
    }
}
