//! Taking key signatures out, as horn parts are best read, with every accidental written at its note.

use score::{Courtesy, PartRef};
use theory::Key;

use super::{Source, accidentals, key};
use crate::edit::{CannotWrite, TextEdit};
use crate::writing::accidentals::Change;

/// Every signature of the parts becomes `none` and every note keeps its pitch.
pub(super) fn write(
    source: &Source<'_>,
    parts: &[PartRef],
    courtesy: Courtesy,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let mut edits: Vec<TextEdit> = Vec::new();
    for part in parts {
        let found = source.part(*part)?;
        let keys = found.keys();
        if keys.iter().all(|(_, key)| key.is_none()) {
            continue;
        }
        // Where nobody is left to read a shared signature, it goes where it stands, once for all.
        let shared = found
            .others()
            .any(|other| !parts.iter().any(|named| named.part == other.index));
        let signatures = key::edits(source, found, shared, &|_, key| {
            (!key.is_none()).then_some(Key::NONE)
        })?;
        for edit in signatures {
            if !edits.contains(&edit) {
                edits.push(edit);
            }
        }
        let mut change = Change::nothing();
        change.courtesy = courtesy;
        change.keys = keys.iter().map(|(span, _)| (*span, Key::NONE)).collect();
        edits.extend(accidentals::edits(source, found, &change)?);
    }
    Ok(edits)
}
