//! The marks that stand at a note: playing signs, ornaments, articulations, fermatas and dynamics.

use score::{Mark, MarkKind, Sign, Text, TrillTo};
use theory::Alteration;

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
                "dynamics" => marks.extend(dynamics(child)),
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
        "trill-mark" => Sign::Trill(trill_to(sign)),
        "accidental-mark" => return None,
        "other-technical" => match sign.attribute("smufl") {
            Some(glyph) => glyph_sign(&glyph).unwrap_or(Sign::Other(glyph)),
            None => Sign::Other(sign.name().to_owned()),
        },
        other => Sign::Other(other.to_owned()),
    })
}

/// What decides a trill's upper note: an accidental that stands with it above the staff.
fn trill_to(trill: Element<'_>) -> TrillTo {
    let accidental = std::iter::successors(trill.next(), |sign| sign.next())
        .take_while(|next| matches!(next.name(), "accidental-mark" | "wavy-line"))
        .find(|next| next.name() == "accidental-mark");
    let alteration = accidental.and_then(|mark| match mark.words().trim() {
        "flat" => Some(-1),
        "sharp" => Some(1),
        "natural" => Some(0),
        "double-sharp" | "sharp-sharp" => Some(2),
        "flat-flat" => Some(-2),
        _ => None,
    });
    alteration.map_or(TrillTo::Key, |steps| TrillTo::Accidental(Alteration(steps)))
}

/// A sign by its glyph's name (Standard Music Font Layout, brass techniques).
pub(super) fn glyph_sign(glyph: &str) -> Option<Sign> {
    match glyph {
        "brassMuteClosed" => Some(Sign::Plus),
        "brassMuteOpen" => Some(Sign::Circle),
        _ => None,
    }
}

/// What a `<dynamics>` element shows, each with its element: signs stand together (`<s/><f/>` reads sf), and other words
/// beside them say what they say (`<pp/><other-dynamics>dolce</other-dynamics>`).
pub(super) fn dynamics(dynamics: Element<'_>) -> Vec<(Element<'_>, Mark)> {
    let mut letters = String::new();
    let mut words = Vec::new();
    for sign in dynamics.children() {
        if sign.name() != "other-dynamics" {
            letters.push_str(sign.name());
            continue;
        }
        let text = sign.words();
        if text.trim().chars().all(|letter| "pfmsrzn".contains(letter)) {
            letters.push_str(text.trim());
        } else {
            let text = Text {
                text,
                span: sign.inner(),
            };
            words.push((sign, MarkKind::Words(text)));
        }
    }
    let dynamic = (!letters.is_empty()).then_some((dynamics, MarkKind::Dynamic(letters)));
    let place = |(element, kind)| {
        let mark = Mark {
            kind,
            on_note: false,
        };
        (element, mark)
    };
    dynamic.into_iter().chain(words).map(place).collect()
}
