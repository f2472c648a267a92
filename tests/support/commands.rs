//! All that can be asked of a document, one after the other, each outcome looked at: what every command does, without
//! the command line.

use std::collections::BTreeMap;
use std::ops::AddAssign;

use engine::{HornOf, Judged, Which};
use horn::{Crook, WrittenFor};
use notation::Document;
use picture::{Options, Pitched, Subject};
use score::Span;

use crate::judge;

/// How much was done.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Done {
    /// Findings whose places were looked at.
    pub findings: usize,
    /// Fixes that were proven.
    pub proven: usize,
    /// Fixes that were refused.
    pub refused: usize,
    /// Fixes that `fix` applied, the safe ones and those for review.
    pub applied: usize,
    /// Notes as their players read them.
    pub notes: usize,
    /// Pictures that were drawn.
    pub drawn: usize,
    /// Rewritings that were proven.
    pub rewritten: usize,
    /// Runs of `fix` that did not come to rest, of which nothing is written; or after which another found more to do.
    pub restless: usize,
}

impl AddAssign for Done {
    fn add_assign(&mut self, more: Self) {
        self.findings += more.findings;
        self.proven += more.proven;
        self.refused += more.refused;
        self.applied += more.applied;
        self.notes += more.notes;
        self.drawn += more.drawn;
        self.rewritten += more.rewritten;
        self.restless += more.restless;
    }
}

/// So many fixes of one rule are tried in one document; more of the same would show nothing new.
const OF_ONE_RULE: usize = 3;

/// Asks everything of a document that came as these bytes.
///
/// # Panics
///
/// When an outcome is not what it must be.
#[must_use]
pub fn ask_everything(document: &Document, bytes: &[u8]) -> Done {
    let mut done = Done::default();
    let text = document.text();
    let back = document.to_bytes().unwrap();
    assert!(back == bytes, "what is only read goes back as it came");
    let judged = judge(document);
    let mut of_rule: BTreeMap<&str, usize> = BTreeMap::new();
    for finding in judged.findings() {
        stands_in(&text, finding.span, finding.rule);
        for related in &finding.related {
            stands_in(&text, related.span, finding.rule);
        }
        done.findings += 1;
        let tried = of_rule.entry(finding.rule).or_default();
        *tried += 1;
        if *tried > OF_ONE_RULE {
            continue;
        }
        for fix in &finding.fixes {
            match judged.prove(&[fix]) {
                Ok(proven) => {
                    assert!(!proven.edits().is_empty(), "{}", fix.title);
                    for edit in proven.edits() {
                        stands_in(&text, edit.span, &fix.title);
                    }
                    done.proven += 1;
                }
                Err(_) => done.refused += 1,
            }
        }
    }
    for which in [Which::Safe, Which::Review] {
        match fix_twice(&judged, which) {
            Some(applied) => done.applied += applied,
            None => done.restless += 1,
        }
    }
    for part in HornOf::all(&judged) {
        let played_by = part.horn.played_by();
        assert_eq!(played_by.len(), part.horn.notes.len());
        done.notes += played_by.len();
        for pitch in Pitched::ALL {
            let subject = Subject {
                base: part.base,
                reading: part.reading,
                horn: part.horn,
                findings: judged.findings(),
            };
            let options = Options {
                pitch,
                ..Options::default()
            };
            if let Ok(picture) = picture::draw(&subject, &options) {
                for place in &picture.places {
                    stands_in(&text, place.span, &place.label);
                }
                done.drawn += 1;
            }
        }
    }
    let parts: Vec<HornOf<'_>> = HornOf::all(&judged).collect();
    for target in [WrittenFor::Crook(Crook::EFlat), WrittenFor::ConcertPitch] {
        if judged.rewrite(&parts, target).is_ok() {
            done.rewritten += 1;
        }
    }
    done
}

/// Fixes all that can be fixed; where nothing is fixed nothing may change. How many fixes were applied; `None` where fixing
/// does not come to rest, or where another run finds more to do.
fn fix_twice(judged: &Judged, which: Which) -> Option<usize> {
    let once = judged.fix_all(which);
    let (before, after) = (judged.document(), once.judged.document());
    if once.applied.is_empty() {
        assert!(after.text() == before.text());
        assert!(after.to_bytes() == before.to_bytes());
    }
    if !once.settled {
        return None;
    }
    let twice = once.judged.fix_all(which);
    let same = twice.judged.document().text() == after.text();
    same.then_some(once.applied.len())
}

fn stands_in(text: &str, span: Span, what: &str) {
    assert!(
        text.get(span.range()).is_some(),
        "{what}: {span:?} is no place in a text of {} bytes",
        text.len()
    );
}
