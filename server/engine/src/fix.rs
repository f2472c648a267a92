//! Fixes as text edits, proven together, and repeated until nothing is left to fix.

use std::collections::{BTreeMap, HashSet};
use std::hash::{BuildHasher as _, BuildHasherDefault, DefaultHasher};

use notation::{Document, TextEdit};
use rules::{Finding, Fix, Safety};
use score::{Intent, Span};

use crate::analysis::Analyser;
use crate::guard::{self, Refused, refused};
use crate::settings::Settings;

/// Which fixes to apply.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Which {
    /// Those that are proven to keep the music.
    Safe,
    /// Also those that change it, the first that each finding offers.
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
    /// The document as it is now.
    pub document: Document,
    /// What was mended.
    pub applied: Vec<Applied>,
    /// What was not, and why.
    pub refused: Vec<(Applied, Refused)>,
    /// Whether fixing came to an end: where it did not, fixes undo each other, and the outcome is nobody's wish.
    pub settled: bool,
}

/// The text edits of one fix, proven by reading the outcome again.
pub fn edits(
    document: &Document,
    settings: &Settings,
    fix: &Fix,
) -> Result<Vec<TextEdit>, Refused> {
    let edits = written(document, fix)?;
    let after = document
        .with_edits(&edits)
        .map_err(|_| refused("its changes stand in each other's way"))?;
    guard::prove(document, &after, &[fix], settings)?;
    Ok(edits)
}

pub(crate) fn written(document: &Document, fix: &Fix) -> Result<Vec<TextEdit>, Refused> {
    let mut edits: Vec<TextEdit> = Vec::new();
    for intent in &fix.intents {
        let more = document.write(intent).map_err(|error| refused(error.why))?;
        for edit in more {
            if !edits.contains(&edit) {
                edits.push(edit);
            }
        }
    }
    if edits.is_empty() {
        return Err(refused("there is nothing left to change"));
    }
    edits.sort_by_key(|edit| edit.span);
    Ok(edits)
}

/// Applies fixes round after round until none is left that may be applied.
///
/// Safe fixes go first. One that changes how the music is played is judged again before the next in its part, since
/// what it changes may have been the reason for the other.
#[must_use]
pub fn fix_all(document: &Document, settings: &Settings, which: Which) -> Fixed {
    let mut analyser = Analyser::new();
    let mut fixed = Fixed {
        document: document.clone(),
        applied: Vec::new(),
        refused: Vec::new(),
        settled: true,
    };
    let mut seen = HashSet::from([digest(&fixed.document)]);
    let mut most_rounds = None;
    for round in 0.. {
        let findings = analyser.analyse(&fixed.document, settings).findings;
        // Each round fixes at least one finding; a few may come up on the way.
        let most = *most_rounds.get_or_insert(2 * findings.len() + SPARE_ROUNDS);
        let mut candidates = chosen(&findings, Safety::Safe, &fixed.refused);
        if candidates.is_empty() && which == Which::Review {
            candidates = one_by_one(chosen(&findings, Safety::Review, &fixed.refused));
        }
        if candidates.is_empty() {
            break;
        }
        let changed = apply(&mut fixed, &candidates, settings);
        if changed && (round >= most || !seen.insert(digest(&fixed.document))) {
            fixed.settled = false;
            break;
        }
    }
    fixed
}

/// Rounds that may go beyond twice the findings there were.
const SPARE_ROUNDS: usize = 20;

fn digest(document: &Document) -> u64 {
    let hasher = BuildHasherDefault::<DefaultHasher>::default();
    hasher.hash_one(document.text())
}

/// A fix to try, and what is told of it.
type Candidate<'a> = (Applied, &'a Fix);

/// The first fix of a kind that each finding offers, once where several findings share one.
fn chosen<'a>(
    findings: &'a [Finding],
    safety: Safety,
    refused: &[(Applied, Refused)],
) -> Vec<Candidate<'a>> {
    let refused: HashSet<&Applied> = refused.iter().map(|(entry, _)| entry).collect();
    let mut known: HashSet<&[Intent]> = HashSet::new();
    let mut chosen = Vec::new();
    for finding in findings {
        let Some(fix) = finding.fixes.iter().find(|fix| fix.safety == safety) else {
            continue;
        };
        let entry = Applied {
            rule: finding.rule,
            part: finding.who(),
            bar: finding.bar,
            title: fix.title.clone(),
        };
        if !refused.contains(&entry) && known.insert(&fix.intents) {
            chosen.push((entry, fix));
        }
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

/// The text edits of a fix, written and not yet proven.
struct Written<'a> {
    entry: &'a Applied,
    fix: &'a Fix,
    edits: Vec<TextEdit>,
}

/// Applies as many fixes at once as do not meet and can be proven; whether anything was changed.
fn apply(fixed: &mut Fixed, candidates: &[Candidate<'_>], settings: &Settings) -> bool {
    let mut free: Vec<Written<'_>> = Vec::new();
    let mut taken = Taken::default();
    for (entry, fix) in candidates {
        match written(&fixed.document, fix) {
            // What meets another waits for the next round.
            Ok(edits) if taken.take(&edits) => free.push(Written { entry, fix, edits }),
            Ok(_) => {}
            Err(why) => fixed.refused.push((entry.clone(), why)),
        }
    }
    let mut accepted: Vec<usize> = Vec::new();
    let mut after = None;
    let all: Vec<usize> = (0..free.len()).collect();
    let trial = Trial {
        before: &fixed.document,
        free: &free,
        settings,
    };
    let refused = trial.accept(&all, &mut accepted, &mut after);
    let refused = refused
        .into_iter()
        .map(|(index, why)| (free[index].entry.clone(), why));
    let refused: Vec<(Applied, Refused)> = refused.collect();
    let applied: Vec<Applied> = accepted
        .iter()
        .map(|index| free[*index].entry.clone())
        .collect();
    fixed.refused.extend(refused);
    match after {
        Some(after) => {
            fixed.document = after;
            fixed.applied.extend(applied);
            true
        }
        None => false,
    }
}

/// Fixes that are tried together on one document.
struct Trial<'a> {
    before: &'a Document,
    free: &'a [Written<'a>],
    settings: &'a Settings,
}

impl Trial<'_> {
    /// Takes as many of the candidates in as can be proven beside those accepted: all at once where that goes, else by
    /// halves. Gives back those that cannot be proven even alone; what only cannot stand beside others is left out, and
    /// comes again.
    fn accept(
        &self,
        candidates: &[usize],
        accepted: &mut Vec<usize>,
        after: &mut Option<Document>,
    ) -> Vec<(usize, Refused)> {
        let together: Vec<usize> = accepted.iter().chain(candidates).copied().collect();
        let why = match self.prove(&together) {
            Ok(document) => {
                *accepted = together;
                *after = Some(document);
                return Vec::new();
            }
            Err(why) => why,
        };
        match candidates {
            [] => Vec::new(),
            [one] if accepted.is_empty() => vec![(*one, why)],
            [one] => match self.prove(&[*one]) {
                Ok(_) => Vec::new(),
                Err(why) => vec![(*one, why)],
            },
            many => {
                let (first, second) = many.split_at(many.len() / 2);
                let mut refused = self.accept(first, accepted, after);
                refused.extend(self.accept(second, accepted, after));
                refused
            }
        }
    }

    fn prove(&self, which: &[usize]) -> Result<Document, Refused> {
        let mut edits: Vec<TextEdit> = Vec::new();
        let mut fixes: Vec<&Fix> = Vec::new();
        for written in which.iter().filter_map(|index| self.free.get(*index)) {
            edits.extend(written.edits.iter().cloned());
            fixes.push(written.fix);
        }
        let after = self
            .before
            .with_edits(&edits)
            .map_err(|_| refused("its changes stand in another's way"))?;
        guard::prove(self.before, &after, &fixes, self.settings)?;
        Ok(after)
    }
}

/// The places that edits take up, so that no two meet.
#[derive(Debug, Default)]
struct Taken {
    /// Ends by starts; none overlaps another.
    spans: BTreeMap<usize, usize>,
}

impl Taken {
    /// Takes the places of some edits up, unless one of them overlaps a place that is taken, or inserts where another
    /// does, where their order would be a guess.
    fn take(&mut self, edits: &[TextEdit]) -> bool {
        let meets = |span: Span| {
            let before = self.spans.range(..=span.start).next_back();
            let overlapped =
                before.is_some_and(|(start, end)| *end > span.start || *start == span.start);
            overlapped || self.spans.range(span.start..span.end).next().is_some()
        };
        if edits.iter().any(|edit| meets(edit.span)) {
            return false;
        }
        self.spans
            .extend(edits.iter().map(|edit| (edit.span.start, edit.span.end)));
        true
    }
}
