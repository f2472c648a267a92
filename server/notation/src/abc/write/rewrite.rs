//! Writing a whole part another interval away, as for another crook.

use score::{PartRef, Way};

use super::{Source, accidentals, cannot, key, pitch};
use crate::edit::{CannotWrite, TextEdit};
use crate::writing::moved_part;

/// Every note and every signature is written as far away as its moment asks.
pub(super) fn write(
    source: &Source<'_>,
    part: PartRef,
    ways: &[Way],
) -> Result<Vec<TextEdit>, CannotWrite> {
    let found = source.part(part)?;
    let shared = found.others().next().is_some();
    let change = moved_part::change(found.part, found.placed.base, ways);
    let spelled = |new: &theory::Pitch| pitch::sign(new.alteration.0).is_some();
    if !change.pitches.values().all(spelled) {
        return cannot("a note would need more than a double sharp or flat");
    }
    let wanted = |span, old: &theory::Key| {
        let new = change.keys.get(&span)?;
        (new != old).then_some(*new)
    };
    let mut edits = key::edits(source, found, shared, &wanted)?;
    edits.extend(accidentals::edits(source, found, &change)?);
    Ok(edits)
}
