//! What an action is to do, and the proven edits that do it.

use std::collections::HashSet;

use engine::{Fix, HornOf, Proven, Refused, Safety, Which};
use horn::WrittenFor;
use notation::TextEdit;
use score::{Intent, Span};
use serde::{Deserialize, Serialize};
use similar::{Algorithm, DiffOp};

use crate::view::View;

/// What an action is to do to one text.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) enum Wish {
    /// One fix of one finding, both by their places.
    Fix { finding: usize, fix: usize },
    /// The first fix of every finding of a rule.
    AllOf { rule: String },
    /// Silence about a finding's rule where the finding stands.
    SilentHere { finding: usize },
    /// Silence about a rule in the whole file.
    SilentInFile { rule: String },
    /// Every fix that keeps the music.
    All,
    /// A horn part, by its place among all horns, or all of its piece, written as these words say: `horn in E flat`.
    Rewrite {
        horn: usize,
        all: bool,
        target: String,
    },
}

impl Wish {
    /// Whether it only keeps a rule silent.
    pub(super) const fn silences(&self) -> bool {
        matches!(self, Self::SilentHere { .. } | Self::SilentInFile { .. })
    }

    /// Whether the notation can write it at all; a cheap question, and no proof.
    pub(super) fn can_be_said(&self, view: &View) -> bool {
        let Some(fix) = self.fix(view) else {
            return !matches!(self, Self::Fix { .. } | Self::SilentHere { .. });
        };
        fix.intents
            .iter()
            .all(|intent| view.judged.document().write(intent).is_ok())
    }

    /// The edits. Fails, saying why, when they cannot be proven.
    pub(super) fn edits(&self, view: &View) -> Result<Vec<TextEdit>, String> {
        let proven = match self {
            Self::AllOf { rule } => view.judged.prove_most(&all_of(view, rule).0),
            Self::All => return Ok(all(view)),
            Self::Rewrite { horn, all, target } => rewrite(view, *horn, *all, target),
            _ => match self.fix(view) {
                Some(fix) => view.judged.prove(&[&fix]),
                None => return Err("this is no longer found in the text".to_owned()),
            },
        };
        proven
            .map(|proven| proven.edits().to_vec())
            .map_err(|why| why.to_string())
    }

    /// The one fix it comes to.
    fn fix(&self, view: &View) -> Option<Fix> {
        let intent = match self {
            Self::Fix { finding, fix } => {
                return view
                    .judged
                    .findings()
                    .get(*finding)?
                    .fixes
                    .get(*fix)
                    .cloned();
            }
            Self::SilentHere { finding } => {
                let finding = view.judged.findings().get(*finding)?;
                Intent::IgnoreHere {
                    at: finding.span,
                    rule: finding.rule.to_owned(),
                }
            }
            Self::SilentInFile { rule } => Intent::IgnoreInFile { rule: rule.clone() },
            Self::AllOf { .. } | Self::All | Self::Rewrite { .. } => return None,
        };
        Some(Fix {
            title: String::new(),
            safety: Safety::Safe,
            intents: vec![intent],
        })
    }
}

/// The first fix of every finding of a rule, one that several findings share once; and whether all keep the music.
pub(super) fn all_of<'a>(view: &'a View, rule: &str) -> (Vec<&'a Fix>, Safety) {
    let mut fixes: Vec<&Fix> = Vec::new();
    let mut known: HashSet<&Intent> = HashSet::new();
    let findings = view.judged.findings().iter();
    for finding in findings.filter(|finding| finding.rule == rule) {
        let Some(fix) = finding.fixes.first() else {
            continue;
        };
        if fix.intents.iter().all(|intent| !known.contains(intent)) {
            known.extend(&fix.intents);
            fixes.push(fix);
        }
    }
    let safe = fixes.iter().all(|fix| fix.safety == Safety::Safe);
    (fixes, if safe { Safety::Safe } else { Safety::Review })
}

/// A horn part, or all of its piece, written for another crook.
fn rewrite(view: &View, place: usize, all: bool, target: &str) -> Result<Proven, Refused> {
    let gone = || Refused::Impossible("this part is no longer in the text".to_owned());
    let target = WrittenFor::ALL
        .into_iter()
        .find(|known| known.to_string() == target)
        .ok_or_else(gone)?;
    let horns: Vec<HornOf<'_>> = HornOf::all(&view.judged).collect();
    let chosen = horns.get(place).copied().ok_or_else(gone)?;
    let parts: Vec<HornOf<'_>> = if all {
        let together = |part: &HornOf<'_>| part.piece == chosen.piece;
        horns.into_iter().filter(together).collect()
    } else {
        vec![chosen]
    };
    view.judged.rewrite(&parts, target)
}

/// All that can be fixed without changing the music.
fn all(view: &View) -> Vec<TextEdit> {
    let fixed = view.judged.fix_all(Which::Safe);
    if !fixed.settled {
        return Vec::new();
    }
    difference(
        &view.judged.document().text(),
        &fixed.judged.document().text(),
    )
}

/// The edits that lead from one text to another, line by line.
fn difference(before: &str, after: &str) -> Vec<TextEdit> {
    let lines =
        |text: &str| -> Vec<String> { text.split_inclusive('\n').map(str::to_owned).collect() };
    let (old, new) = (lines(before), lines(after));
    let starts = |lines: &[String]| -> Vec<usize> {
        let mut at = 0;
        let mut starts = vec![0];
        for line in lines {
            at += line.len();
            starts.push(at);
        }
        starts
    };
    let (old_starts, new_starts) = (starts(&old), starts(&new));
    similar::capture_diff_slices(Algorithm::Myers, &old, &new)
        .into_iter()
        .filter(|op| !matches!(op, DiffOp::Equal { .. }))
        .filter_map(|op| {
            let (was, is) = (op.old_range(), op.new_range());
            let span = Span::new(*old_starts.get(was.start)?, *old_starts.get(was.end)?);
            let text = after.get(*new_starts.get(is.start)?..*new_starts.get(is.end)?)?;
            Some(TextEdit {
                span,
                text: text.to_owned(),
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_difference_leads_there() {
        let (before, after) = ("a\nb\nc\nd", "a\nx\ny\nc\n");
        let mut text = before.to_owned();
        for edit in difference(before, after).iter().rev() {
            text.replace_range(edit.span.range(), &edit.text);
        }
        assert_eq!(text, after);
    }
}
