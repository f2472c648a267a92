//! What the intents of fixes allow to change, and nothing besides.

use std::collections::{HashMap, HashSet};

use rules::{Fix, Safety};
use score::{Intent, MarkKind, NewCue, NewMark, PartRef, Sign, Span};

/// How a note is meant to move.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Move {
    /// So many semitones.
    By(i32),
    /// To this written pitch, as a MIDI number.
    To(i32),
}

/// What fixes name. Spans count from the start of the document as it was.
#[derive(Debug, Default)]
pub(super) struct Allowance {
    /// Whether all of them are to keep how everything is played.
    pub(super) safe: bool,
    /// Whether the marks that they name are dynamics, all of them.
    pub(super) dynamics_alone: bool,
    /// Notes that move.
    pub(super) moves: HashMap<Span, Move>,
    /// Notes beside which marks are written, or marks in whose place others are.
    pub(super) added: HashMap<Span, Vec<NewMark>>,
    /// Marks that go, or are replaced.
    pub(super) removed: HashSet<Span>,
    /// What other parts play, as it is to be shown in a part.
    pub(super) cues: Vec<(PartRef, NewCue)>,
    /// Where all these begin, in order.
    named_places: Vec<usize>,
    /// Parts whose signatures change.
    pub(super) signatures: HashSet<PartRef>,
    /// Parts whose record of transposition changes.
    pub(super) records: HashSet<PartRef>,
    /// Parts that are written at another pitch.
    pub(super) rewritten: HashSet<PartRef>,
    /// Parts that get another name.
    pub(super) named: HashSet<PartRef>,
}

impl Allowance {
    /// What some fixes name together.
    pub(super) fn of(fixes: &[&Fix]) -> Self {
        let mut allowed = Self {
            safe: fixes.iter().all(|fix| fix.safety == Safety::Safe),
            ..Self::default()
        };
        for intent in fixes.iter().flat_map(|fix| &fix.intents) {
            allowed.take(intent);
        }
        let mut added = allowed.added.values().flatten();
        allowed.dynamics_alone = added.all(|mark| matches!(mark, NewMark::Dynamic(_)))
            && allowed
                .removed
                .iter()
                .all(|mark| allowed.added.contains_key(mark));
        let marks = allowed.added.keys().chain(&allowed.removed);
        let places = marks.chain(allowed.moves.keys()).map(|span| span.start);
        allowed.named_places = places.collect();
        allowed.named_places.sort_unstable();
        allowed
    }

    /// Whether they name anything that stands in a stretch of the text.
    pub(super) fn names_within(&self, stretch: Span) -> bool {
        let from = self.named_places.partition_point(|at| *at < stretch.start);
        let next = self.named_places.get(from);
        next.is_some_and(|at| *at <= stretch.end)
    }

    /// Two fixes may ask for the same mark in the same place; it is written once.
    fn add(&mut self, at: Span, mark: &NewMark) {
        let here = self.added.entry(at).or_default();
        if !here.contains(mark) {
            here.push(mark.clone());
        }
    }

    fn take(&mut self, intent: &Intent) {
        match intent {
            Intent::MoveOctaves { notes, octaves } => {
                let by = Move::By(i32::from(*octaves) * 12);
                self.moves.extend(notes.iter().map(|note| (*note, by)));
            }
            Intent::MoveNote { note, from: _, to } => {
                self.moves.insert(*note, Move::To(to.midi()));
            }
            Intent::AddMark { note, mark } => self.add(*note, mark),
            Intent::WriteCue { part, cue } => {
                let entry = (*part, cue.clone());
                if !self.cues.contains(&entry) {
                    self.cues.push(entry);
                }
            }
            Intent::ReplaceMark { mark, with } => {
                self.removed.insert(*mark);
                self.add(*mark, with);
            }
            Intent::RemoveMark { mark } => {
                self.removed.insert(*mark);
            }
            Intent::DropKeySignatures { parts, .. } => self.signatures.extend(parts),
            Intent::SetKeySignature { part, .. } => {
                self.signatures.insert(*part);
            }
            Intent::RewritePart { part, .. } => {
                self.signatures.insert(*part);
                self.records.insert(*part);
                self.rewritten.insert(*part);
            }
            Intent::SetTransposition { part, .. } | Intent::DropLaterTranspositions { part } => {
                self.records.insert(*part);
            }
            Intent::SetHorn { part, .. } => {
                self.records.insert(*part);
                self.named.insert(*part);
            }
            Intent::NamePart { part, .. } | Intent::SayOfPart { part, .. } => {
                self.named.insert(*part);
            }
            Intent::ShowAccidental { .. }
            | Intent::IgnoreHere { .. }
            | Intent::IgnoreInFile { .. }
            | Intent::DropIgnored { .. }
            | Intent::RenameIgnored { .. } => {}
        }
    }
}

/// Whether a mark on the page is the one that was to be written.
pub(super) fn is_written(kind: &MarkKind, wanted: &NewMark) -> bool {
    match (kind, wanted) {
        (MarkKind::Sign(Sign::Plus), NewMark::Plus)
        | (MarkKind::Sign(Sign::Circle), NewMark::Circle) => true,
        (MarkKind::Dynamic(letters), NewMark::Dynamic(wanted)) => letters == wanted,
        (MarkKind::Words(text), NewMark::Words(words)) => text.text.trim() == words.trim(),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_dynamic_in_another_s_place_lets_nothing_else_change() {
        let mark = Span::new(3, 6);
        let replace = |with| Intent::ReplaceMark { mark, with };
        let alone = |intents| {
            let fix = Fix {
                title: String::new(),
                safety: Safety::Review,
                intents,
            };
            Allowance::of(&[&fix]).dynamics_alone
        };
        let louder = replace(NewMark::Dynamic("mp".to_owned()));
        assert!(alone(vec![louder.clone()]));
        assert!(!alone(vec![replace(NewMark::Words("open".to_owned()))]));
        let mark = Span::new(8, 9);
        assert!(!alone(vec![louder, Intent::RemoveMark { mark }]));
    }

    #[test]
    fn only_the_mark_that_was_wanted_is_written() {
        let plus = MarkKind::Sign(Sign::Plus);
        assert!(is_written(&plus, &NewMark::Plus));
        assert!(!is_written(&plus, &NewMark::Circle));
        assert!(!is_written(&plus, &NewMark::Words("+".to_owned())));
        let soft = MarkKind::Dynamic("mp".to_owned());
        assert!(is_written(&soft, &NewMark::Dynamic("mp".to_owned())));
        assert!(!is_written(&soft, &NewMark::Dynamic("p".to_owned())));
    }
}
