//! Naming a part: `name="…"` on its voice field.

use score::{PartRef, Span};

use super::find::enclosing;
use super::{Source, cannot, insert, lines, properties, replace, strings};
use crate::edit::{CannotWrite, TextEdit};

const NAMES: [&str; 2] = ["name", "nm"];

/// The name replaces the old one, or joins the part's first voice field; a tune without voices gets one.
pub(super) fn write(
    source: &Source<'_>,
    part: PartRef,
    name: &str,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let found = source.part(part)?;
    let value = format!("\"{}\"", strings::quoted(name));
    let voices = properties::voice_fields(source, found)?;
    // The last name said is the one in force.
    let named = voices
        .iter()
        .rfind(|field| properties::find(source, **field, &NAMES).is_some());
    if let Some(field) = named.or(voices.first()) {
        if name.contains(']') && enclosing(*field, "inline_field").is_some() {
            return cannot("a name with `]` cannot stand in a voice field inside the music");
        }
        return Ok(vec![properties::set(source, *field, &NAMES, &value)]);
    }
    if found.others().next().is_some() {
        return cannot("the part has no voice field to write in");
    }
    let Some(key) = properties::header_key(source.tune_of(found)?) else {
        return cannot("the tune has no key field, so its header has no end");
    };
    let at = lines::start(source.text, key.start_byte());
    let end = lines::line_break(source.text, at);
    Ok(vec![insert(at, format!("V:1 name={value}{end}"))])
}

/// Other words in the place of a property's.
pub(super) fn say(
    source: &Source<'_>,
    at: Span,
    words: &str,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let property = source.around(at, &["property"]);
    let Some(value) = property.and_then(|property| property.child_by_field_name("value")) else {
        return cannot("the name is not there any more");
    };
    let span = value.byte_range().into();
    Ok(vec![replace(
        span,
        format!("\"{}\"", strings::quoted(words)),
    )])
}
