//! Recording what must be added to the written pitch: `transpose=` in semitones (ABC 2.1, 4.6).

use score::{PartRef, Span};
use theory::Transposition;

use super::find::{children, descendants, enclosing};
use super::{Source, cannot, properties, replace};
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

/// What the part's fields say of a transposition after its start goes; a key field that says nothing else keeps a
/// number, which is what it says from then on.
pub(super) fn drop_later(source: &Source<'_>, part: PartRef) -> Result<Vec<TextEdit>, CannotWrite> {
    let found = source.part(part)?;
    let base = found.placed.base;
    let start = found.part.transposition.map(|(_, span)| span.shifted(base));
    let mut runs: Vec<Span> = found
        .part
        .bars
        .iter()
        .flat_map(|bar| &bar.runs)
        .map(|run| Span::new(run.base, run.base + run.body.text_length).shifted(base))
        .collect();
    runs.sort_unstable();
    let in_music = |byte: usize| {
        let after = runs.partition_point(|run| run.start <= byte);
        after
            .checked_sub(1)
            .and_then(|at| runs.get(at))
            .is_some_and(|run| byte < run.end)
    };
    let own = |field: &tree_sitter::Node<'_>| match field.child_by_field_name("voice") {
        Some(id) if field.kind() == "voice_field" => source.text_of(id).trim() == found.part.id,
        _ => in_music(field.start_byte()),
    };
    let fields = descendants(source.tune_of(found)?, &["voice_field", "key_field"]);
    let said = fields.into_iter().filter(own).filter_map(|field| {
        let property = properties::find(source, field, &NAMES)?;
        (Some(property.byte_range().into()) != start).then_some((field, property))
    });
    Ok(said
        .map(|(field, property)| {
            let before = source.text[..property.start_byte()].trim_end_matches([' ', '\t']);
            let alone = field.kind() == "key_field" && children(field).len() <= 2;
            let text = if alone { " none" } else { "" };
            replace(
                Span::new(before.len(), property.end_byte()),
                text.trim_start(),
            )
        })
        .collect())
}
