//! Writing a whole part another interval away, as for another crook.

use score::{PartRef, Way};

use super::page::Source;
use super::{accidentals, cannot, cue, keys};
use crate::edit::{CannotWrite, TextEdit};
use crate::writing::moved_part;

/// Every note and every signature is written as far away as its moment asks.
pub(super) fn write(
    source: &Source<'_>,
    part: PartRef,
    ways: &[Way],
) -> Result<Vec<TextEdit>, CannotWrite> {
    if source.is_at_concert_pitch() {
        return cannot("the score is shown at concert pitch, so no part is transposed in it");
    }
    let part = source.part(part)?;
    let change = moved_part::change(part, 0, ways);
    let mut edits = Vec::new();
    for (span, measure, old) in keys::keys(part) {
        if let Some(new) = change.keys.get(&span).filter(|new| **new != old) {
            edits.extend(keys::rewritten(source, span, measure, new)?);
        }
    }
    edits.extend(accidentals::edits(source, part, &change)?);
    edits.extend(cue::moved::edits(source, part, ways, &change)?);
    Ok(edits)
}
