//! Naming a part: `<part-name>`, and what is displayed in its stead.

use score::{PartRef, Span, WitnessKind};

use super::page::{Page, Source};
use super::shape::{Layout, add_child, escaped};
use super::{cannot, replace};
use crate::edit::{CannotWrite, TextEdit};
use crate::musicxml::tree::Element;

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
        edits.push(displayed(&header, display, &text));
    }
    Ok(edits)
}

/// Other words in the place of a short name, an instrument's name, or one that is displayed in a name's stead.
pub(super) fn say(
    source: &Source<'_>,
    kind: WitnessKind,
    at: Span,
    words: &str,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let text = escaped(words);
    let Some(page) = source.around(at.start) else {
        return cannot("the name is not there any more");
    };
    // A displayed name is spoken of as a whole element, others by their words.
    match page.at(at) {
        Some(display) if display.child("display-text").is_some() => {
            Ok(vec![displayed(&page, display, &text)])
        }
        None if kind != WitnessKind::DisplayName => Ok(vec![replace(at, text)]),
        _ => cannot("the name is not there any more"),
    }
}

/// The edit that makes a display say plain words.
fn displayed(page: &Page<'_>, display: Element<'_>, text: &str) -> TextEdit {
    let layout = Layout::of(page, display);
    let children = [format!("<display-text>{text}</display-text>")];
    let whole = layout.element(display.name(), display.name(), &children);
    let from = whole.find('>').map_or(0, |end| end + 1);
    let to = whole.rfind("</").unwrap_or(whole.len());
    replace(page.place(display.inner()), &whole[from..to])
}
