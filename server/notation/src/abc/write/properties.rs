//! Properties of voice and key fields: finding one, changing one, adding one.

use tree_sitter::Node;

use super::find::{FoundPart, children, descendants};
use super::{Source, insert, replace};
use crate::edit::{CannotWrite, TextEdit};

/// The property of a field that goes by one of these names.
pub(super) fn find<'a>(source: &Source<'_>, field: Node<'a>, names: &[&str]) -> Option<Node<'a>> {
    children(field)
        .into_iter()
        .filter(|child| child.kind() == "property")
        .rfind(|property| {
            property
                .child_by_field_name("key")
                .is_some_and(|key| names.contains(&source.text_of(key)))
        })
}

/// The edit that gives a field's property another value, or adds `name=value` to the field.
pub(super) fn set(source: &Source<'_>, field: Node<'_>, names: &[&str], value: &str) -> TextEdit {
    let old = find(source, field, names).and_then(|found| found.child_by_field_name("value"));
    if let Some(old) = old {
        return replace(old.byte_range().into(), value);
    }
    let parts = children(field);
    let end = parts.last().map_or(field.end_byte(), Node::end_byte);
    let name = names.first().copied().unwrap_or_default();
    // A key field that says nothing yet must not take the property for its key.
    let key = if field.kind() == "key_field" && parts.len() < 2 {
        "none"
    } else {
        ""
    };
    insert(end, format!("{key} {name}={value}"))
}

/// The voice fields of a part in its tune, those of the header first as they come first in the text.
pub(super) fn voice_fields<'a>(
    source: &Source<'a>,
    part: FoundPart<'_>,
) -> Result<Vec<Node<'a>>, CannotWrite> {
    let tune = source.tune_of(part)?;
    Ok(descendants(tune, &["voice_field"])
        .into_iter()
        .filter(|field| {
            field
                .child_by_field_name("voice")
                .is_some_and(|id| source.text_of(id).trim() == part.part.id)
        })
        .collect())
}

/// The key field that ends the header of a tune.
pub(super) fn header_key<'a>(tune: Node<'a>) -> Option<Node<'a>> {
    let header = children(tune)
        .into_iter()
        .find(|child| child.kind() == "tune_header")?;
    children(header)
        .into_iter()
        .find(|child| child.kind() == "key_field")
}
