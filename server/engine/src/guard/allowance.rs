//! What the intents of fixes allow to change, and nothing besides.

use std::collections::{HashMap, HashSet};

use rules::{Fix, Safety};
use score::{Intent, MarkKind, NewMark, PartRef, Sign, Span};

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
    /// Notes that move.
    pub(super) moves: HashMap<Span, Move>,
    /// Notes beside which a mark is written, or marks in whose place another is.
    pub(super) added: Vec<(Span, NewMark)>,
    /// Marks that go, or are replaced.
    pub(super) removed: HashSet<Span>,
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
        allowed
    }

    /// Two fixes may ask for the same mark in the same place; it is written once.
    fn add(&mut self, at: Span, mark: &NewMark) {
        let known = self
            .added
            .iter()
            .any(|(span, known)| (*span, known) == (at, mark));
        if !known {
            self.added.push((at, mark.clone()));
        }
    }

    fn take(&mut self, intent: &Intent) {
        match intent {
            Intent::MoveOctaves { notes, octaves } => {
                let by = Move::By(i32::from(*octaves) * 12);
                self.moves.extend(notes.iter().map(|note| (*note, by)));
            }
            Intent::MoveNote { note, to } => {
                self.moves.insert(*note, Move::To(to.midi()));
            }
            Intent::AddMark { note, mark } => self.add(*note, mark),
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
            | Intent::IgnoreInFile { .. } => {}
        }
    }
}

/// Whether a mark on the page is the one that was to be written.
pub(super) fn is_written(kind: &MarkKind, wanted: &NewMark) -> bool {
    match (kind, wanted) {
        (MarkKind::Sign(Sign::Plus), NewMark::Plus)
        | (MarkKind::Sign(Sign::Circle), NewMark::Circle) => true,
        (MarkKind::Words(text), NewMark::Words(words)) => text.text.trim() == words.trim(),
        _ => false,
    }
}
