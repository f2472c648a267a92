//! Naming a part: `*I"…`.

use score::{PartRef, Span};

use super::super::interpretation::{Naming, naming};
use super::{Source, cannot, record, replace};
use crate::edit::{CannotWrite, TextEdit};

/// The name takes the old one's place, or gets a record of its own before the part's music.
pub(super) fn write(
    source: &Source<'_>,
    part: PartRef,
    name: &str,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let sheet = source.sheet(part.piece)?;
    let line = sheet.line(part)?;
    let cell = format!("*I\"{}", name.replace(['\t', '\n', '\r'], " "));
    let named = line
        .interpretations()
        .find(|(_, cell)| matches!(naming(cell), Some((_, Naming::Name(_)))));
    if let Some((span, old)) = named {
        return Ok(if old == cell {
            Vec::new()
        } else {
            vec![replace(span, cell)]
        });
    }
    let music = line.first_music()?;
    let edit = record::interpretation(source.text, &sheet, music, line.spine, &cell);
    Ok(vec![edit])
}

/// Other words in the place of a cell's, after the sign that says what they are.
pub(super) fn say(
    source: &Source<'_>,
    at: Span,
    words: &str,
) -> Result<Vec<TextEdit>, CannotWrite> {
    if source.text.get(at.range()).is_none_or(str::is_empty) {
        return cannot("the name is not there any more");
    }
    Ok(vec![replace(at, words.replace(['\t', '\n', '\r'], " "))])
}
