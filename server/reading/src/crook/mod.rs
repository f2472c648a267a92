//! The crook in force at each moment: what each witness says of it, which one is believed, and where they disagree.

mod disagreement;
mod octave;
mod statement;
mod weigh;

use horn::{ClefConvention, Crook};
use score::{EventKind, Kinds, Note, Part, Placed, Span, WitnessKind};
use theory::{Quarters, SoundingPitch, Transposition};

use crate::players::Sharing;
use crate::roster::Seat;

pub use disagreement::{Contrary, Disagreement, Fault};
use statement::Moment;

/// Who says which crook it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CrookSaid {
    /// An instruction to this tool, or its settings.
    Told,
    /// A name the file gives the part, standing there.
    Named(WitnessKind, Span),
    /// Words over the staff ("muta in E"), standing there.
    Words(Span),
    /// Only the transposition the file records.
    Recorded,
    /// Nobody; a horn in F is assumed, as players do today.
    Assumed,
}

impl CrookSaid {
    /// Where it is said in the text, if it is.
    #[must_use]
    pub const fn span(self) -> Option<Span> {
        match self {
            Self::Named(_, span) | Self::Words(span) => Some(span),
            Self::Told | Self::Recorded | Self::Assumed => None,
        }
    }
}

/// A crook, how it is known, and the transposition that is used because of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CrookInForce {
    /// The crook; `None` when the recorded transposition is no horn's.
    pub crook: Option<Crook>,
    /// Who says so.
    pub said: CrookSaid,
    /// What is added to written pitch.
    pub transposition: Transposition,
    /// What the file records, and where.
    pub recorded: Option<(Transposition, Span)>,
    /// The crooks a name left open ("in B") where nothing settled which, so that the part's compass decided; else none.
    pub choices: &'static [Crook],
    /// Whether no witness leaves it in doubt, so that notes can be judged by it.
    pub settled: bool,
}

impl CrookInForce {
    /// Whether a player or a judge must know of the change from this one; who says it or where is all the same.
    fn differs(&self, later: &Self) -> bool {
        let matters = |it: &Self| (it.crook, it.transposition, it.choices, it.settled);
        matters(self) != matters(later)
    }

    /// The crook in words: `horn in F`, or `horn` when no crook fits.
    #[must_use]
    pub fn label(&self) -> String {
        self.crook.map_or_else(|| "horn".to_owned(), Crook::label)
    }
}

/// The crooks of a part over time.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Crooks {
    /// The crook at the start.
    pub(crate) start: CrookInForce,
    /// Later crooks in the order of time: when, which, and where the text says so.
    pub(crate) changes: Vec<(Quarters, CrookInForce, Span)>,
    /// Where witnesses disagree, each once, in the order of time.
    pub(crate) disagreements: Vec<Disagreement>,
}

impl Crooks {
    /// The crook in force at a moment.
    pub(crate) fn at(&self, onset: Quarters) -> &CrookInForce {
        at(&self.start, &self.changes, onset)
    }
}

/// The crook in force at a moment, among those of a part.
pub(crate) fn at<'a>(
    start: &'a CrookInForce,
    changes: &'a [(Quarters, CrookInForce, Span)],
    onset: Quarters,
) -> &'a CrookInForce {
    changes
        .partition_point(|(from, ..)| *from <= onset)
        .checked_sub(1)
        .and_then(|last| changes.get(last))
        .map_or(start, |(_, crook, _)| crook)
}

/// Works out the crooks of a part, given who plays what: what is said while all play other instruments is not the horn's.
pub(crate) fn of(part: &Part, seat: &Seat, sharing: &Sharing) -> Crooks {
    let notes = notes(part, seat, sharing);
    let moments = statement::moments(part, seat, &notes, sharing);
    let mut force = weigh::Force::default();
    let mut crooks: Option<Crooks> = None;
    for (index, moment) in moments.iter().enumerate() {
        let to = moments.get(index + 1).map_or(notes.len(), |next| next.note);
        let here = Moment {
            notes: notes.get(moment.note..to).unwrap_or_default(),
            ..moment.clone()
        };
        let (mut crook, contrary) = force.take(&here, seat.bass_clef, crooks.is_none());
        // Data that are the sound and record no page may be the player's notes all the same; only the writer knows.
        let unrecorded = part.notes_sound && crook.recorded.is_none();
        crook.settled &= !unrecorded || crook.said == CrookSaid::Told;
        let disagreement = contrary.filter(|_| !here.notes.is_empty());
        match &mut crooks {
            None => {
                crooks = Some(Crooks {
                    start: crook,
                    changes: Vec::new(),
                    disagreements: disagreement.into_iter().collect(),
                });
            }
            Some(crooks) => {
                let before = crooks
                    .changes
                    .last()
                    .map_or(&crooks.start, |(_, crook, _)| crook);
                if before.differs(&crook) {
                    crooks.changes.push((moment.from, crook, moment.span));
                }
                let known =
                    |new: &Disagreement| crooks.disagreements.iter().any(|old| old.repeats(new));
                if let Some(new) = disagreement.filter(|new| !known(new)) {
                    crooks.disagreements.push(new);
                }
            }
        }
    }
    crooks.unwrap_or_else(|| Crooks {
        start: weigh::assumed(),
        changes: Vec::new(),
        disagreements: Vec::new(),
    })
}

/// A note, as far as a crook may be chosen by it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Sung<'a> {
    pub(crate) onset: Quarters,
    pub(crate) note: &'a Note,
    /// What it sounds, where the page says that itself.
    pub(crate) sounding: Option<SoundingPitch>,
    /// Whether it stands in bass clef.
    pub(crate) bass: bool,
}

/// What stands in a part, of some kinds, while any of its players holds a horn.
fn on_horns<'a>(
    part: &'a Part,
    sharing: &Sharing,
    kinds: Kinds,
) -> impl Iterator<Item = Placed<'a>> {
    part.placed_of(kinds)
        .filter(|(event, _)| {
            let share = sharing.shares.get(*event).copied().unwrap_or_default();
            !share.to.is_empty() || share.silent.is_empty()
        })
        .map(|(_, placed)| placed)
}

/// The notes in the order of time.
fn notes<'a>(part: &'a Part, seat: &Seat, sharing: &Sharing) -> Vec<Sung<'a>> {
    let mut bass = part.clef.is_some_and(is_bass);
    let mut notes: Vec<Sung<'_>> = on_horns(part, sharing, Kinds::NOTES.and(Kinds::CLEFS))
        .filter_map(|placed| match &placed.event.kind {
            EventKind::Clef(clef) => {
                bass = is_bass(*clef);
                None
            }
            EventKind::Note(note) => Some(Sung {
                onset: placed.onset,
                note,
                sounding: seat.heard(note),
                bass,
            }),
            _ => None,
        })
        .collect();
    notes.sort_by_key(|note| note.onset);
    notes
}

fn is_bass(clef: score::Clef) -> bool {
    clef.kind == score::ClefKind::Bass
}

/// Whether a note sounds an octave above what its crook says: bass clef in the old way of writing.
pub(crate) fn is_old_bass(convention: ClefConvention, bass: bool) -> bool {
    bass && convention == ClefConvention::OldBass
}
