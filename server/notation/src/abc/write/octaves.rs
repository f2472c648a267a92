//! Moving notes by whole octaves, with all they are tied to.

use score::Span;
use theory::Pitch;

use super::{Source, accidentals, cannot};
use crate::edit::{CannotWrite, TextEdit};
use crate::writing::accidentals::Change;
use crate::writing::notes::moved;

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
        let mut change = Change::nothing();
        change.pitches = moved(|| part.notes().collect(), &named, &to);
        if change
            .pitches
            .values()
            .any(|pitch| !OCTAVES.contains(&pitch.octave))
        {
            return cannot("that is far outside the range of any instrument");
        }
        for edit in accidentals::edits(source, part, &change)? {
            // Text that two parts read gets its edit once.
            if !edits.contains(&edit) {
                edits.push(edit);
            }
        }
    }
    Ok(edits)
}
