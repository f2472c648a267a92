//! Moving notes by whole octaves, with all they are tied to.

use std::collections::HashMap;

use score::Span;
use theory::Pitch;

use super::accidentals::Change;
use super::find::{FoundPart, Written};
use super::{Source, cannot};
use crate::edit::{CannotWrite, TextEdit};

/// The octaves in which ABC text is still read by eye; beyond is a slip.
const OCTAVES: std::ops::RangeInclusive<i8> = -2..=11;

/// Letters and marks of the notes are rewritten, and accidentals where notes came to rely on others.
pub(super) fn write(
    source: &Source<'_>,
    notes: &[Span],
    octaves: i8,
) -> Result<Vec<TextEdit>, CannotWrite> {
    if octaves == 0 {
        return Ok(Vec::new());
    }
    repitched(source, notes, |pitch| Pitch {
        octave: pitch.octave.saturating_add(octaves),
        ..pitch
    })
}

/// Gives notes, and all they are tied to, other pitches.
pub(super) fn repitched(
    source: &Source<'_>,
    notes: &[Span],
    to: impl Fn(Pitch) -> Pitch,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let mut edits: Vec<TextEdit> = Vec::new();
    for (part, named) in source.notes_at(notes)? {
        let mut change = Change::of(part);
        change.pitches = pitches(part, &named, &to);
        if change
            .pitches
            .values()
            .any(|pitch| !OCTAVES.contains(&pitch.octave))
        {
            return cannot("that is far outside the range of any instrument");
        }
        for edit in change.edits(source)? {
            // Text that two parts read gets its edit once.
            if !edits.contains(&edit) {
                edits.push(edit);
            }
        }
    }
    Ok(edits)
}

fn pitches(
    part: FoundPart<'_>,
    named: &[Written<'_>],
    to: impl Fn(Pitch) -> Pitch,
) -> HashMap<Span, Pitch> {
    let all: Vec<Written<'_>> = part.notes().collect();
    let mut pitches = HashMap::new();
    for note in named {
        let Some(place) = all
            .iter()
            .position(|other| other.pitch_span == note.pitch_span)
        else {
            continue;
        };
        let new = to(note.note.written.0);
        for at in tied(&all, place) {
            pitches.insert(all[at].pitch_span, new);
        }
    }
    pitches
}

/// The places of all notes that a note is one sound with, its own included.
fn tied(all: &[Written<'_>], place: usize) -> Vec<usize> {
    let mut chain = vec![place];
    let mut at = place;
    while all[at].note.tied_to {
        let next = (at + 1..all.len()).find(|&next| follows(&all[at], &all[next]));
        let Some(next) = next else { break };
        chain.push(next);
        at = next;
    }
    at = place;
    while all[at].note.tied_from {
        let before = (0..at)
            .rev()
            .find(|&before| follows(&all[before], &all[at]));
        let Some(before) = before else { break };
        chain.push(before);
        at = before;
    }
    chain
}

/// Whether a note is held into another.
fn follows(before: &Written<'_>, after: &Written<'_>) -> bool {
    let (from, to) = (before.note, after.note);
    from.tied_to
        && to.tied_from
        && from.written == to.written
        && from.layer == to.layer
        && before.onset <= after.onset
}
