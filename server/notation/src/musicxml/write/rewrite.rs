//! Writing a whole part another interval away, as for another crook.

use score::PartRef;
use theory::{Interval, Key};

use super::page::Source;
use super::{accidentals, cannot, keys, notes};
use crate::edit::{CannotWrite, TextEdit};
use crate::writing::accidentals::Change;

/// Every note is written `by` an interval away, without double accidentals, and every signature goes with them.
pub(super) fn write(
    source: &Source<'_>,
    part: PartRef,
    by: Interval,
) -> Result<Vec<TextEdit>, CannotWrite> {
    if source.is_at_concert_pitch() {
        return cannot("the score is shown at concert pitch, so no part is transposed in it");
    }
    let part = source.part(part)?;
    let mut change = Change::nothing();
    change.drop_implied = true;
    let mut edits = Vec::new();
    for (span, measure, old) in keys::keys(part) {
        let moved = old
            .fifths()
            .filter(|_| !old.is_none())
            .map(|fifths| fifths + by.fifths())
            .filter(|fifths| fifths.abs() <= 7);
        let new = moved.map_or(Key::NONE, Key::from_fifths);
        if new != old {
            change.keys.insert(span, new);
            edits.extend(keys::rewritten(source, span, measure, &new)?);
        }
    }
    for note in notes::of_part(part) {
        let new = note.note.written.0.transposed(by).simplified();
        change.pitches.insert(note.pitch_span, new);
    }
    edits.extend(accidentals::edits(source, part, &change)?);
    Ok(edits)
}
