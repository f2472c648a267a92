//! Giving a part a key signature and taking out the accidentals that it then implies.

use score::PartRef;
use theory::Key;

use super::{Source, accidentals, cannot, key};
use crate::edit::{CannotWrite, TextEdit};
use crate::writing::accidentals::Change;

/// The part starts in `key`; later key fields that say what its first one said follow, others stay.
pub(super) fn write(
    source: &Source<'_>,
    part: PartRef,
    key: Key,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let found = source.part(part)?;
    let Some((_, start)) = found.start_key() else {
        return cannot("the tune has no key field to write in");
    };
    if start == key {
        return Ok(Vec::new());
    }
    let shared = found.others().next().is_some();
    let mut edits = key::edits(source, found, shared, &|_, old| {
        (*old == start).then_some(key)
    })?;
    let mut change = Change::nothing();
    change.drop_implied = true;
    change.keys = found
        .keys()
        .into_iter()
        .filter(|(_, old)| *old == start)
        .map(|(span, _)| (span, key))
        .collect();
    edits.extend(accidentals::edits(source, found, &change)?);
    Ok(edits)
}
