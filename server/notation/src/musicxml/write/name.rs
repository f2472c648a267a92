//! Naming a part: `<part-name>`, and what is displayed in its stead.

use score::PartRef;

use super::page::Source;
use super::shape::{Layout, add_child, escaped};
use super::{cannot, replace};
use crate::edit::{CannotWrite, TextEdit};

/// What comes after the name in `<score-part>` (MusicXML 4.0, `score-part`).
const AFTER_NAME: [&str; 8] = [
    "part-name-display",
    "part-abbreviation",
    "part-abbreviation-display",
    "group",
    "score-instrument",
    "player",
    "midi-device",
    "midi-instrument",
];

/// The name replaces the old one.
pub(super) fn write(
    source: &Source<'_>,
    part: PartRef,
    name: &str,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let part = source.part(part)?;
    let header = source.header();
    let list = header.tree.root().child("part-list");
    let element = list.and_then(|list| {
        list.named("score-part")
            .find(|element| element.says("id", &part.id))
    });
    let Some(element) = element else {
        return cannot("the part-list does not know the part");
    };
    let text = escaped(name);
    let mut edits = Vec::new();
    match element.child("part-name") {
        Some(child) if child.is_one_tag() => {
            let whole = format!("<part-name>{text}</part-name>");
            edits.push(replace(header.place(child.span()), whole));
        }
        Some(child) => edits.push(replace(header.place(child.inner()), text.clone())),
        None => {
            let child = format!("<part-name>{text}</part-name>");
            edits.push(add_child(&header, element, &AFTER_NAME, &child));
        }
    }
    if let Some(display) = element.child("part-name-display")
        && !display.is_one_tag()
    {
        let layout = Layout::of(&header, display);
        let children = [format!("<display-text>{text}</display-text>")];
        let whole = layout.element("part-name-display", "part-name-display", &children);
        let from = whole.find('>').map_or(0, |end| end + 1);
        let to = whole.rfind("</").unwrap_or(whole.len());
        edits.push(replace(header.place(display.inner()), &whole[from..to]));
    }
    Ok(edits)
}
