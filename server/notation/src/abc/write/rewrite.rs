//! Writing a whole part another interval away, as for another crook.

use score::PartRef;
use theory::{Interval, Key};

use super::{Source, accidentals, cannot, key, pitch};
use crate::edit::{CannotWrite, TextEdit};
use crate::writing::accidentals::Change;

/// Every note is written `by` an interval away, without double accidentals, and every signature goes with them.
pub(super) fn write(
    source: &Source<'_>,
    part: PartRef,
    by: Interval,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let found = source.part(part)?;
    let shared = found.others().next().is_some();
    let moved = |key: &Key| {
        key.fifths()
            .map(|fifths| fifths + by.fifths())
            .filter(|fifths| fifths.abs() <= 7)
            .map_or(Key::NONE, Key::from_fifths)
    };
    let wanted = |old: &Key| (!old.is_none()).then(|| moved(old));
    let mut edits = key::edits(source, found, shared, &wanted)?;
    let mut change = Change::nothing();
    change.drop_implied = true;
    change.keys = found
        .keys()
        .into_iter()
        .filter_map(|(span, old)| Some((span, wanted(&old)?)))
        .collect();
    for note in found.notes() {
        let new = note.note.written.0.transposed(by).simplified();
        if pitch::sign(new.alteration.0).is_none() {
            return cannot("a note would need more than a double sharp or flat");
        }
        change.pitches.insert(note.pitch_span, new);
    }
    edits.extend(accidentals::edits(source, found, &change)?);
    Ok(edits)
}
