//! Recording what must be added to the written pitch: `<transpose>`.

use score::{EventKind, PartRef, Span};
use theory::Transposition;

use super::page::{Page, Source};
use super::shape::{add_child, take_out};
use super::{attributes, cannot, replace};
use crate::edit::{CannotWrite, TextEdit};
use crate::musicxml::tree::Element;

/// What comes after the transposition in `<attributes>` (MusicXML 4.0, `attributes`).
const AFTER_TRANSPOSE: [&str; 3] = ["for-part", "directive", "measure-style"];

/// The part's first transposition says the interval, as do later ones that say what the first one said.
pub(super) fn write(
    source: &Source<'_>,
    part: PartRef,
    transposition: Transposition,
) -> Result<Vec<TextEdit>, CannotWrite> {
    if source.is_at_concert_pitch() {
        return cannot("the score is shown at concert pitch, so no part is transposed in it");
    }
    let part = source.part(part)?;
    let Some((start, _)) = part.transposition else {
        let Some(page) = source.first_measure(part) else {
            return cannot("the part has no music to put a transposition before");
        };
        let children: Vec<String> = Numbers::of(transposition)
            .children()
            .into_iter()
            .map(|(name, number)| format!("<{name}>{number}</{name}>"))
            .collect();
        let edit = attributes::add(&page, &AFTER_TRANSPOSE, "transpose", &children)?;
        return Ok(vec![edit]);
    };
    let said: Vec<(Span, usize)> = part
        .events()
        .filter_map(|placed| match placed.event.kind {
            EventKind::Transposition(said) if said == start => Some((placed.span(), placed.base)),
            _ => None,
        })
        .collect();
    let mut edits = Vec::new();
    for (span, measure) in said {
        let page = source.measure(measure);
        let found = page.as_ref().and_then(|page| Some((page, page.at(span)?)));
        let Some((page, element)) = found else {
            return cannot("the transposition is not there any more");
        };
        edits.extend(rewritten(page, element, &Numbers::of(transposition)));
    }
    Ok(edits)
}

/// Transpositions after the start that are not the first one said again go; attributes that held nothing else go whole.
pub(super) fn drop_later(source: &Source<'_>, part: PartRef) -> Result<Vec<TextEdit>, CannotWrite> {
    let part = source.part(part)?;
    let start = part.transposition.map(|(said, _)| said);
    let mut edits = Vec::new();
    for placed in part.events() {
        match placed.event.kind {
            EventKind::Transposition(said) if Some(said) != start => {}
            _ => continue,
        }
        let page = source.measure(placed.base);
        let found = page
            .as_ref()
            .and_then(|page| Some((page, page.at(placed.span())?)));
        let Some((page, element)) = found else {
            return cannot("the transposition is not there any more");
        };
        let alone = element
            .parent()
            .filter(|parent| parent.name() == "attributes" && parent.children().count() == 1);
        let whole = alone.unwrap_or(element);
        edits.push(take_out(page, whole, whole));
    }
    Ok(edits)
}

/// An interval as the format counts it: octaves apart from the rest (MusicXML 4.0, `transpose`).
struct Numbers {
    diatonic: i32,
    chromatic: i32,
    octaves: i32,
}

impl Numbers {
    const fn of(transposition: Transposition) -> Self {
        let octaves = transposition.0.steps / 7;
        Self {
            diatonic: transposition.0.steps - 7 * octaves,
            chromatic: transposition.0.semitones - 12 * octaves,
            octaves,
        }
    }

    /// The children in their order; no octaves are not written.
    fn children(&self) -> Vec<(&'static str, i32)> {
        let mut children = vec![("diatonic", self.diatonic), ("chromatic", self.chromatic)];
        if self.octaves != 0 {
            children.push(("octave-change", self.octaves));
        }
        children
    }
}

fn rewritten(page: &Page<'_>, element: Element<'_>, numbers: &Numbers) -> Vec<TextEdit> {
    let mut edits = Vec::new();
    for (name, number) in numbers.children() {
        match element.child(name) {
            Some(child) if child.number() == Some(number) => {}
            Some(child) => edits.push(replace(page.place(child.inner()), number.to_string())),
            None => {
                let later: &[&str] = match name {
                    "diatonic" => &["chromatic", "octave-change", "double"],
                    "chromatic" => &["octave-change", "double"],
                    _ => &["double"],
                };
                let child = format!("<{name}>{number}</{name}>");
                edits.push(add_child(page, element, later, &child));
            }
        }
    }
    if let Some(change) = element.child("octave-change")
        && numbers.octaves == 0
    {
        edits.push(take_out(page, change, change));
    }
    edits
}
