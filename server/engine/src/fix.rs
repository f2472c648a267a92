//! Fixes as text edits, proven one by one and together, and repeated until nothing is left to mend.

use notation::{Document, TextEdit};
use rules::{Finding, Fix, Safety};
use score::Span;

use crate::analysis::Analyser;
use crate::guard::{self, Refused, refused};
use crate::settings::Settings;

/// Rounds after which fixing stops though something is left; each round mends at least one finding.
const MOST_ROUNDS: usize = 100;

/// Which fixes to apply.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Which {
    /// Those that are proven to keep the music.
    Safe,
    /// Also those that change it, the first that each finding offers.
    Review,
}

/// A fix that was applied, or refused.
#[derive(Debug, Clone, PartialEq, Eq)]
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

fn written(document: &Document, fix: &Fix) -> Result<Vec<TextEdit>, Refused> {
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
#[must_use]
pub fn fix_all(document: &Document, settings: &Settings, which: Which) -> Fixed {
    let mut analyser = Analyser::new();
    let mut fixed = Fixed {
        document: document.clone(),
        applied: Vec::new(),
        refused: Vec::new(),
    };
    for _ in 0..MOST_ROUNDS {
        let analysis = analyser.analyse(&fixed.document, settings);
        let chosen = chosen(&analysis.findings, which, &fixed.refused);
        if !round(&mut fixed, &chosen, settings) {
            break;
        }
    }
    fixed
}

/// The fixes to try, one for each finding; several findings may share one.
fn chosen<'a>(
    findings: &'a [Finding],
    which: Which,
    refused: &[(Applied, Refused)],
) -> Vec<(Applied, &'a Fix)> {
    let mut chosen: Vec<(Applied, &Fix)> = Vec::new();
    for finding in findings {
        let allowed = |fix: &&Fix| which == Which::Review || fix.safety == Safety::Safe;
        let Some(fix) = finding.fixes.iter().find(allowed) else {
            continue;
        };
        let entry = Applied {
            rule: finding.rule,
            part: finding.who(),
            bar: finding.bar,
            title: fix.title.clone(),
        };
        let known = chosen.iter().any(|(_, other)| other.intents == fix.intents)
            || refused.iter().any(|(other, _)| *other == entry);
        if !known {
            chosen.push((entry, fix));
        }
    }
    chosen
}

/// Applies as many fixes at once as do not meet; whether anything was changed.
fn round(fixed: &mut Fixed, chosen: &[(Applied, &Fix)], settings: &Settings) -> bool {
    let mut together: Vec<TextEdit> = Vec::new();
    let mut fixes: Vec<&Fix> = Vec::new();
    let mut applied: Vec<Applied> = Vec::new();
    for (entry, fix) in chosen {
        match edits(&fixed.document, settings, fix) {
            Ok(edits) => {
                let free = edits
                    .iter()
                    .all(|edit| together.iter().all(|other| !meets(edit.span, other.span)));
                if free {
                    together.extend(edits);
                    fixes.push(fix);
                    applied.push(entry.clone());
                }
            }
            Err(why) => fixed.refused.push((entry.clone(), why)),
        }
    }
    let Some((first, first_fix)) = applied.first().cloned().zip(fixes.first().copied()) else {
        return false;
    };
    let joint = fixed
        .document
        .with_edits(&together)
        .map_err(|_| refused("its changes stand in another's way"))
        .and_then(|after| {
            guard::prove(&fixed.document, &after, &fixes, settings)?;
            Ok(after)
        });
    if let Ok(after) = joint {
        fixed.document = after;
        fixed.applied.extend(applied);
        return true;
    }
    // Each is sound, but not all at once: take the first alone, the rest come in later rounds.
    let alone = edits(&fixed.document, settings, first_fix)
        .ok()
        .and_then(|edits| fixed.document.with_edits(&edits).ok());
    match alone {
        Some(after) => {
            fixed.document = after;
            fixed.applied.push(first);
            true
        }
        None => false,
    }
}

/// Whether two edits overlap, or insert at one place, where their order would be a guess.
const fn meets(one: Span, other: Span) -> bool {
    one.start < other.end && other.start < one.end || one.start == other.start
}
