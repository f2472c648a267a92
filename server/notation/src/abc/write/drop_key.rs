//! Taking a part's key signatures out, as horn parts are best read, with every accidental written at its note.

use score::{Courtesy, PartRef};
use theory::Key;

use super::accidentals::Change;
use super::{Source, key};
use crate::edit::{CannotWrite, TextEdit};

/// Every signature of the part becomes `none` and every note keeps its pitch.
pub(super) fn write(
    source: &Source<'_>,
    part: PartRef,
    courtesy: Courtesy,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let found = source.part(part)?;
    let keys = found.keys();
    if keys.iter().all(|(_, key)| key.is_none()) {
        return Ok(Vec::new());
    }
    let mut edits = key::edits(source, found, &|key| (!key.is_none()).then_some(Key::NONE))?;
    let mut change = Change::of(found);
    change.courtesy = courtesy;
    change.keys = keys.iter().map(|(span, _)| (*span, Key::NONE)).collect();
    edits.extend(change.edits(source)?);
    Ok(edits)
}
