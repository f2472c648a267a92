//! Recording what must be added to the written pitch: `transpose=` in semitones (ABC 2.1, 4.6).

use score::PartRef;
use theory::Transposition;

use super::find::enclosing;
use super::{Source, cannot, properties};
use crate::edit::{CannotWrite, TextEdit};

const NAMES: [&str; 2] = ["transpose", "t"];

/// The number is changed where it stands for this part alone, else added to the part's voice or to the key field.
pub(super) fn write(
    source: &Source<'_>,
    part: PartRef,
    transposition: Transposition,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let found = source.part(part)?;
    let tune = source.tune_of(found)?;
    let voices = properties::voice_fields(source, found)?;
    let property = found
        .part
        .transposition
        .and_then(|(_, span)| source.around(span.shifted(found.placed.base), &["property"]));
    let alone = found.others().next().is_none();
    let own = |field: &tree_sitter::Node<'_>| {
        alone || field.kind() == "voice_field" || enclosing(*field, "tune_header").is_none()
    };
    let field = property
        .and_then(|property| property.parent())
        .filter(own)
        .or_else(|| voices.first().copied())
        .or_else(|| properties::header_key(tune).filter(own));
    let Some(field) = field else {
        return cannot("the part has no voice or key field to write in");
    };
    let value = transposition.0.semitones.to_string();
    Ok(vec![properties::set(source, field, &NAMES, &value)])
}
