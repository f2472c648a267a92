//! What fixes show of other parts: that it is what those play, in a rest, and that it stands there and nothing else.

use std::collections::BTreeMap;

use reading::{HornPart, PieceReading, Sounding};
use score::{
    Bar, Barline, Cue, CueNote, Event, EventKind, Kinds, NewCue, NewMark, Part, PartRef, Piece,
    Placed, Rest,
};
use theory::{Quarters, SoundingPitch};

use super::allowance::Allowance;
use super::refused::{Refused, refused};

/// What is to be shown in a part.
pub(super) struct Cues<'a>(Vec<&'a NewCue>);

impl<'a> Cues<'a> {
    pub(super) fn of(at: PartRef, allowed: &'a Allowance) -> Self {
        let own = allowed.cues.iter().filter(|(part, _)| *part == at);
        Self(own.map(|(_, cue)| cue).collect())
    }

    /// Whether two bars differ in nothing but that a rest of many bars is divided after them, where words are to stand.
    pub(super) fn divides(&self, was: &Part, one: &Bar, other: &Bar) -> bool {
        let end = one.onset + one.length;
        let plain = other.close.as_ref().is_some_and(|close| {
            *close
                == Barline {
                    span: close.span,
                    ..Barline::default()
                }
        });
        one.close.is_none() && plain && self.divide_at(was, end)
    }

    /// Whether words are to stand at a barline within a rest of many bars.
    fn divide_at(&self, was: &Part, onset: Quarters) -> bool {
        let mut cues = self.0.iter();
        cues.any(|cue| cue.notes.is_empty() && cue.from == onset) && within_rest(was, onset)
    }

    /// What must come: the small notes; the words go to the marks that are to be written.
    pub(super) fn into_expected(self, added: &mut BTreeMap<Quarters, Vec<NewMark>>) -> Expected {
        let mut expected = Expected::default();
        for cue in self.0 {
            let here = added.entry(cue.from).or_default();
            here.push(NewMark::Words(cue.words.clone()));
            if cue.notes.is_empty() {
                expected.divided.push(cue.from);
            }
            for note in &cue.notes {
                let here = expected.notes.entry(note.onset).or_default();
                here.push(*note);
            }
        }
        expected
    }
}

/// Whether a bar that begins at a moment is within one sign for many bars of rest.
fn within_rest(part: &Part, onset: Quarters) -> bool {
    let bar = part.bars.iter().find(|bar| bar.onset == onset);
    bar.is_some_and(|bar| bar.runs.is_empty())
}

/// What must come in a part, and has not come yet.
#[derive(Default)]
pub(super) struct Expected {
    notes: BTreeMap<Quarters, Vec<CueNote>>,
    /// Where rests of many bars are to be divided.
    divided: Vec<Quarters>,
}

impl Expected {
    /// Whether an event is one that must come; it need not come again.
    pub(super) fn take(&mut self, was: &Part, now: &Placed<'_>) -> bool {
        match &now.event.kind {
            EventKind::Cue(cue) => {
                let Some(here) = self.notes.get_mut(&now.onset) else {
                    return false;
                };
                let place = here.iter().position(|note| is_shown(cue, note));
                place.map(|place| here.swap_remove(place)).is_some()
            }
            EventKind::Rest(Rest {
                whole_bar: true,
                layer: 0,
                ..
            }) => {
                let place = self.divided.iter().position(|from| *from == now.onset);
                let place = place.filter(|_| within_rest(was, now.onset));
                place.map(|place| self.divided.swap_remove(place)).is_some()
            }
            _ => false,
        }
    }

    /// When the first small note was to stand that has not come.
    pub(super) fn missing(&self) -> Option<Quarters> {
        let left = self.notes.iter().find(|(_, notes)| !notes.is_empty());
        left.map(|(onset, _)| *onset)
    }
}

/// Every field is looked at, so that one added later must be decided on.
fn is_shown(cue: &Cue, note: &CueNote) -> bool {
    let Cue {
        written,
        length,
        signed: _,
        tied_to,
    } = cue;
    *written == note.written && *length == note.length && *tied_to == note.tied_to
}

/// Whether two small notes are alike but for the pitch on the page, which moves with the part, and its accidental, which
/// follows the signature.
pub(super) fn look_alike(one: &Cue, other: &Cue) -> bool {
    let Cue {
        written,
        length,
        signed: _,
        tied_to,
    } = one;
    written.is_some() == other.written.is_some()
        && *length == other.length
        && *tied_to == other.tied_to
}

/// Proves of a horn's part that is written another interval away that its small notes still show what they showed.
pub(super) fn still_show(
    (piece_was, was): (&Piece, &HornPart),
    (piece_is, is): (&Piece, &HornPart),
) -> Result<(), Refused> {
    let sounds = |piece: &Piece, horn: &HornPart| -> Vec<Option<i32>> {
        let part = piece.parts.get(horn.seat.part);
        let cues = part
            .into_iter()
            .flat_map(|part| part.events_of(Kinds::CUES));
        cues.filter_map(|placed| match &placed.event.kind {
            EventKind::Cue(cue) => Some(cue.written.map(|written| {
                let crook = horn.crook_at(placed.onset);
                horn.on_page(crook).sound(written).midi()
            })),
            _ => None,
        })
        .collect()
    };
    if sounds(piece_was, was) == sounds(piece_is, is) {
        Ok(())
    } else {
        Err(refused(format!(
            "small notes of {} would show other notes than they did",
            was.label
        )))
    }
}

/// Proves of the cues of a piece that each small note sounds, by so many octaves for all of a cue, as the note that it
/// shows, is as long and at the same time, and that the horn rests meanwhile. `base` is where the piece begins.
pub(super) fn are_true(
    was: &PieceReading,
    piece: usize,
    base: usize,
    allowed: &Allowance,
) -> Result<(), Refused> {
    for (part, cue) in allowed.cues.iter().filter(|(part, _)| part.piece == piece) {
        let Some(horn) = was.horn(part.part) else {
            return Err(Refused::Horns);
        };
        let mut octaves = None;
        for note in &cue.notes {
            let end = note.onset + note.length;
            let mut sounding = horn.notes.iter().filter(|played| !played.length.is_zero());
            if sounding
                .any(|played| played.onset < end && note.onset < played.onset + played.length)
            {
                return Err(refused(
                    "the horn itself plays where the small notes would stand",
                ));
            }
            let Some((event, sounds)) = shown(was, note, base) else {
                return Err(refused("the note that is to be shown is not there"));
            };
            let crook = horn.crook_at(note.onset);
            let reads = note
                .written
                .map(|written| horn.on_page(crook).sound(written).midi());
            let apart = match (reads, sounds) {
                (None, None) => continue,
                (Some(reads), Some(sounds)) => reads - sounds,
                _ => return Err(refused("a rest would be shown as a note")),
            };
            let same = apart % 12 == 0 && octaves.is_none_or(|octaves| octaves == apart);
            octaves = Some(apart);
            let length = match &event.kind {
                EventKind::Note(shown) => shown.length,
                EventKind::Rest(rest) => rest.length,
                _ => Quarters::ZERO,
            };
            if !same || length != note.length {
                return Err(refused(
                    "a small note would not be what the other part plays",
                ));
            }
        }
    }
    Ok(())
}

/// The event that a small note shows, and what it sounds, if it is a note.
fn shown<'a>(
    was: &'a PieceReading,
    note: &CueNote,
    base: usize,
) -> Option<(&'a Event, Option<i32>)> {
    for part in &was.piece.parts {
        let Some((index, bar)) = part.bar_at(note.onset) else {
            continue;
        };
        let mut sounding = Sounding::before(part, index);
        for placed in bar.events(index) {
            let sounds = sounding.next(placed.event);
            if placed.span().shifted(base) == note.shows && placed.onset == note.onset {
                let kind = &placed.event.kind;
                let shown = matches!(kind, EventKind::Note(_) | EventKind::Rest(_));
                return shown.then(|| (placed.event, sounds.map(SoundingPitch::midi)));
            }
        }
    }
    None
}
