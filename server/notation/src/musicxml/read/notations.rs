//! The marks that stand at a note: playing signs, ornaments, articulations, fermatas and dynamics.

use score::{Mark, MarkKind, Sign};

use crate::musicxml::tree::Element;

/// The marks in a note's `<notations>`, each with its element.
pub(super) fn marks(note: Element<'_>) -> Vec<(Element<'_>, Mark)> {
    let mut marks = Vec::new();
    for notations in note.named("notations") {
        for child in notations.children() {
            match child.name() {
                "technical" | "articulations" | "ornaments" => {
                    for sign in child.children() {
                        if let Some(named) = named(sign) {
                            marks.push((sign, on_note(named)));
                        }
                    }
                }
                "glissando" | "slide" if child.says("type", "start") => {
                    marks.push((child, on_note(Sign::Glissando)));
                }
                "fermata" => marks.push((child, on_note(Sign::Fermata))),
                "dynamics" => marks.extend(dynamic(child).map(|mark| (child, mark))),
                "arpeggiate" | "non-arpeggiate" | "other-notation" => {
                    marks.push((child, on_note(Sign::Other(child.name().to_owned()))));
                }
                _ => {}
            }
        }
    }
    marks
}

const fn on_note(sign: Sign) -> Mark {
    Mark {
        kind: MarkKind::Sign(sign),
        on_note: true,
    }
}

/// A sign by its element; accidentals over ornaments are none of their own.
fn named(sign: Element<'_>) -> Option<Sign> {
    Some(match sign.name() {
        "stopped" => Sign::Plus,
        // A horn has no strings; the circle is the same sign.
        "open" | "open-string" => Sign::Circle,
        "breath-mark" => Sign::Breath,
        "trill-mark" => Sign::Trill,
        "accidental-mark" => return None,
        "other-technical" => match sign.attribute("smufl") {
            Some(glyph) => glyph_sign(&glyph).unwrap_or(Sign::Other(glyph)),
            None => Sign::Other(sign.name().to_owned()),
        },
        other => Sign::Other(other.to_owned()),
    })
}

/// A sign by its glyph's name (Standard Music Font Layout, brass techniques).
pub(super) fn glyph_sign(glyph: &str) -> Option<Sign> {
    match glyph {
        "brassMuteClosed" => Some(Sign::Plus),
        "brassMuteOpen" => Some(Sign::Circle),
        _ => None,
    }
}

/// The dynamic a `<dynamics>` element shows; its signs stand together (`<s/><f/>` reads sf).
pub(super) fn dynamic(dynamics: Element<'_>) -> Option<Mark> {
    let letters: String = dynamics
        .children()
        .map(|sign| match sign.name() {
            "other-dynamics" => sign.words().trim().to_owned(),
            name => name.to_owned(),
        })
        .collect();
    (!letters.is_empty()).then_some(Mark {
        kind: MarkKind::Dynamic(letters),
        on_note: false,
    })
}
