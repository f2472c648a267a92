//! Writing a note's accidental where the text had left it to what stands before.

use score::Span;

use super::{Source, accidentals};
use crate::edit::{CannotWrite, TextEdit};
use crate::writing::accidentals::Change;

/// The note gets its accidental; later notes of the bar that would now be read by it get their own.
pub(super) fn write(source: &Source<'_>, note: Span) -> Result<Vec<TextEdit>, CannotWrite> {
    let mut edits: Vec<TextEdit> = Vec::new();
    for (part, named) in source.notes_at(&[note])? {
        let mut change = Change::nothing();
        change.signed = named.iter().map(|note| note.pitch_span).collect();
        for edit in accidentals::edits(source, part, &change)? {
            // Text that two parts read gets its edit once.
            if !edits.contains(&edit) {
                edits.push(edit);
            }
        }
    }
    Ok(edits)
}
