//! Cues for whole parts: before every entry after a long rest that has none.

use std::collections::{HashMap, HashSet};

use rules::Finding;
use score::Span;

use crate::fix::{Applied, Fixed};
use crate::guard::{Refused, refused};
use crate::judged::Judged;
use crate::proven::Proven;
use crate::rewrite::HornOf;

/// The rule that finds entries without a cue.
const RULE: &str = "part/no-cue";

/// An entry: its piece, its part, and its note's place in the part.
type Entry = (usize, usize, usize);

impl Judged {
    /// Writes a cue before every entry of some horn parts that `part/no-cue` speaks of: small notes where the notation has
    /// them and they can be proven, else words. Entries before which neither can be written are told, each with the reason.
    #[must_use]
    pub fn cued(&self, parts: &[HornOf<'_>]) -> Fixed {
        let mut fixed = Fixed {
            judged: self.clone(),
            applied: Vec::new(),
            refused: Vec::new(),
            settled: true,
        };
        let parts = parts.iter().map(|part| (part.piece, part.horn.seat.part));
        let parts: HashSet<(usize, usize)> = parts.collect();
        let mut done: HashSet<Entry> = HashSet::new();
        loop {
            let judged = fixed.judged.clone();
            let entries = entries(&judged, &parts);
            let open = judged.findings().iter().filter_map(|finding| {
                let entry = entries.get(&finding.span)?;
                let open = finding.rule == RULE && !done.contains(entry);
                open.then_some((finding, *entry))
            });
            let next = open.min_by_key(|(_, entry)| *entry);
            let Some((finding, entry)) = next else {
                return fixed;
            };
            done.insert(entry);
            match first_proven(&judged, finding) {
                Ok((title, proven)) => {
                    fixed.applied.push(told(finding, title));
                    fixed.judged = proven.judge();
                }
                Err(why) => {
                    let title = "Write a cue before the entry".to_owned();
                    fixed.refused.push((told(finding, title), why));
                }
            }
        }
    }
}

/// The notes of some parts, by where their pitches stand in the document.
fn entries(judged: &Judged, parts: &HashSet<(usize, usize)>) -> HashMap<Span, Entry> {
    let of = HornOf::all(judged).filter(|of| parts.contains(&(of.piece, of.horn.seat.part)));
    let notes = of.flat_map(|of| {
        let notes = of.horn.notes.iter().enumerate();
        notes.map(move |(place, note)| {
            let entry = (of.piece, of.horn.seat.part, place);
            (note.pitch_span.shifted(of.base), entry)
        })
    });
    notes.collect()
}

/// The first fix of a finding that can be proven: its title, and what it comes to. Fails for the last one's reason.
fn first_proven(judged: &Judged, finding: &Finding) -> Result<(String, Proven), Refused> {
    let mut why = refused("no other part plays a line to hold on to there");
    for fix in &finding.fixes {
        match judged.prove(&[fix]) {
            Ok(proven) => return Ok((fix.title.clone(), proven)),
            Err(other) => why = other,
        }
    }
    Err(why)
}

fn told(finding: &Finding, title: String) -> Applied {
    Applied {
        rule: finding.rule,
        part: finding.who(),
        bar: finding.bar,
        title,
    }
}
