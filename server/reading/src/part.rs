//! One horn part, read from its first bar to its last as its player would.

mod walk;

use score::{Part, Span};
use theory::{Key, Quarters, TempoMap, WrittenPitch};

use crate::common::CommonMarks;
use crate::crook::{CrookInForce, CrookSaid};
use crate::effort::{self, Effort, Endurance};
use crate::note::{PlayedMark, PlayedNote};
use crate::roster::Seat;

/// A horn part as it is played. Spans count from the start of the piece.
#[derive(Debug, Clone, PartialEq)]
pub struct HornPart {
    /// Its place among the piece's horns and how it is known to be one.
    pub seat: Seat,
    /// What to call it in a message: its name, or `part 1`.
    pub label: String,
    /// Where it is declared: the place to speak of the part as a whole.
    pub head: Span,
    /// Where its name stands, if it has one.
    pub name_span: Option<Span>,
    /// The crook at the start.
    pub crook: CrookInForce,
    /// Later crooks: when, which, and where the text says so.
    pub crook_changes: Vec<(Quarters, CrookInForce, Span)>,
    /// Every key signature: when, which, where.
    pub keys: Vec<(Quarters, Key, Span)>,
    /// Every note, in the order of the text.
    pub notes: Vec<PlayedNote>,
    /// What has been spent at each of the notes.
    pub efforts: Vec<Effort>,
    /// Every mark the player obeys, in the order of the text.
    pub marks: Vec<PlayedMark>,
    /// Every rip.
    pub rips: Vec<RipMark>,
}

/// A rip (glissando through the harmonic series) from one note to the next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RipMark {
    /// The word or sign that asks for it.
    pub mark: Span,
    /// The note it leaves, by its place in the part's notes.
    pub from: usize,
    /// The note it reaches, by its place in the part's notes.
    pub to: usize,
}

impl HornPart {
    /// The crook in force at a place.
    #[must_use]
    pub fn crook_at(&self, onset: Quarters) -> &CrookInForce {
        self.crook_changes
            .iter()
            .rev()
            .find(|(from, _, _)| *from <= onset)
            .map_or(&self.crook, |(_, crook, _)| crook)
    }

    /// A note as its crook's own series is written, C4 being partial 4: old bass clef stands an octave too low.
    #[must_use]
    pub fn in_series(&self, note: &PlayedNote) -> WrittenPitch {
        let crook = self.crook_at(note.onset);
        crook.transposition.write(note.sounding)
    }

    /// Every rip that leads to its note without a rest between, with the notes it leaves and reaches.
    pub fn sounding_rips(&self) -> impl Iterator<Item = (&RipMark, &PlayedNote, &PlayedNote)> {
        self.rips.iter().filter_map(|rip| {
            let (from, to) = (self.notes.get(rip.from)?, self.notes.get(rip.to)?);
            let rested = to.since_rest.0 <= 0.0 && to.starts > from.starts;
            (!rested).then_some((rip, from, to))
        })
    }

    /// Every note the main line's player plays, with the effort at it.
    pub fn played(&self) -> impl Iterator<Item = (&PlayedNote, &Effort)> {
        self.notes
            .iter()
            .zip(&self.efforts)
            .filter(|(note, _)| note.leads())
    }

    /// The notes attacked on the main line after the note at `index`.
    pub fn attacks_after(&self, index: usize) -> impl Iterator<Item = (usize, &PlayedNote)> {
        self.notes
            .iter()
            .enumerate()
            .skip(index + 1)
            .filter(|(_, note)| note.leads() && !note.tied_from)
    }
}

/// Reads a part for the player in a seat.
pub(crate) fn read(
    part: &Part,
    seat: Seat,
    common: &CommonMarks,
    tempo: &TempoMap,
    endurance: &Endurance,
) -> HornPart {
    let crook = CrookInForce::settle(&seat.name.crook, CrookSaid::Named, part.transposition);
    let label = part
        .name
        .as_ref()
        .filter(|name| !name.text.trim().is_empty())
        .map_or_else(|| format!("part {}", part.id), |name| name.text.clone());
    let heard = walk::walk(part, &crook, seat.bass_clef, common, tempo);
    HornPart {
        label,
        head: part.head,
        name_span: part.name.as_ref().map(|name| name.span),
        crook,
        crook_changes: heard.crook_changes,
        keys: part
            .key
            .map(|(key, span)| (Quarters::ZERO, key, span))
            .into_iter()
            .chain(heard.keys)
            .collect(),
        efforts: effort::efforts(&heard.notes, endurance),
        notes: heard.notes,
        marks: heard.marks,
        rips: heard.rips,
        seat,
    }
}
