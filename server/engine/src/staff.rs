//! What is said of the players of one staff, put together: once where it holds for all, and to whom where it does not.

use std::collections::HashMap;

use reading::HornPart;
use rules::Finding;
use score::{Intent, NewMark, Span};

/// Joins what was found on each player's own line of a staff.
///
/// A mark that one player could do without stays when another needs it, and words that a fix writes for one player
/// name that player.
pub(crate) fn joined(staff: &HornPart, mut lines: Vec<Vec<Finding>>) -> Vec<Finding> {
    if lines.len() < 2 {
        return lines.pop().unwrap_or_default();
    }
    let mut places: HashMap<(Span, usize), usize> = HashMap::new();
    let mut findings: Vec<(Finding, Vec<usize>)> = Vec::new();
    for (player, line) in lines.into_iter().enumerate() {
        // What is said to the second player of the same place would only repeat it.
        let mut here: HashMap<Span, usize> = HashMap::new();
        for finding in line {
            let count = here.entry(finding.span).or_insert(0);
            let key = (finding.span, *count);
            *count += 1;
            match places.get(&key).and_then(|place| findings.get_mut(*place)) {
                Some((_, said_to)) => said_to.push(player),
                None => {
                    places.insert(key, findings.len());
                    findings.push((finding, vec![player]));
                }
            }
        }
    }
    let spoken_to = spoken_to(staff);
    findings
        .into_iter()
        .filter_map(|(mut finding, said_to)| {
            let needed = spoken_to.get(&finding.span).copied().unwrap_or_default();
            if finding.unnecessary && said_to.len() < needed {
                return None;
            }
            // A mark that speaks to others too is not changed for this player's sake.
            finding.fixes.retain(|fix| {
                let mut changed = fix.intents.iter().filter_map(changed_mark);
                changed.all(|mark| spoken_to.get(&mark).is_none_or(|all| *all <= said_to.len()))
            });
            // Several of them are the staff, though not always all of it.
            if let [_] = said_to[..] {
                address(&mut finding);
            } else {
                finding.player = None;
            }
            Some(finding)
        })
        .collect()
}

/// To how many players each mark speaks.
fn spoken_to(staff: &HornPart) -> HashMap<Span, usize> {
    let mut counts = HashMap::new();
    for line in staff.players() {
        let mut last = None;
        for mark in &line.marks {
            // A mark of several terms stands several times.
            if last.replace(mark.span) != Some(mark.span) {
                *counts.entry(mark.span).or_insert(0) += 1;
            }
        }
    }
    counts
}

/// The mark an intent takes out or writes anew.
const fn changed_mark(intent: &Intent) -> Option<Span> {
    match intent {
        Intent::ReplaceMark { mark, .. } | Intent::RemoveMark { mark } => Some(*mark),
        _ => None,
    }
}

/// Says in the words of its fixes which player is meant.
fn address(finding: &mut Finding) {
    let Some(player) = finding.player else { return };
    for intent in finding.fixes.iter_mut().flat_map(|fix| &mut fix.intents) {
        if let Intent::AddMark { mark, .. } | Intent::ReplaceMark { with: mark, .. } = intent
            && let NewMark::Words(words) = mark
        {
            *words = format!("{player}. {words}");
        }
    }
}
