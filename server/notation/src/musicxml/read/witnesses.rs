//! What a part is for: its names in the part-list and in the music, and the sounds its instruments are given.

use score::{Class, EventKind, Span, Text, Witness, WitnessKind};

use super::header::on_one_line;
use crate::musicxml::tree::Element;

/// All that a `<score-part>` says, counted as the element is.
pub(super) fn of_part(element: Element<'_>) -> impl Iterator<Item = Witness> {
    let names = element.children().filter_map(named);
    let instruments = element
        .named("score-instrument")
        .flat_map(Element::children)
        .filter_map(|child| match child.name() {
            "instrument-name" => Some((WitnessKind::Instrument, words(child)?)),
            "instrument-sound" => sound(child),
            _ => None,
        });
    names
        .chain(instruments)
        .map(|(kind, text)| Witness { kind, text })
}

/// What a `<print>` in the music says of the name from there on.
pub(super) fn of_print(print: Element<'_>) -> impl Iterator<Item = (Span, EventKind)> {
    print.children().filter_map(named).map(event)
}

/// What a `<sound>` in the music says of the instrument from there on.
pub(super) fn of_sound(element: Element<'_>) -> impl Iterator<Item = (Span, EventKind)> {
    element
        .named("instrument-change")
        .filter_map(|change| sound(change.child("instrument-sound")?))
        .map(event)
}

fn event((kind, text): (WitnessKind, Text)) -> (Span, EventKind) {
    (text.span, EventKind::Witness(kind, text.text))
}

fn named(child: Element<'_>) -> Option<(WitnessKind, Text)> {
    Some(match child.name() {
        "part-name" => (WitnessKind::Name, words(child)?),
        "part-name-display" => (WitnessKind::DisplayName, displayed(child)?),
        "part-abbreviation" => (WitnessKind::Abbreviation, words(child)?),
        "part-abbreviation-display" => (WitnessKind::Abbreviation, displayed(child)?),
        _ => return None,
    })
}

fn words(element: Element<'_>) -> Option<Text> {
    let text = on_one_line(&element.words());
    (!text.is_empty()).then(|| Text {
        text,
        span: element.inner(),
    })
}

/// What is printed in a name's stead, unless it is said not to be.
pub(super) fn displayed(display: Element<'_>) -> Option<Text> {
    if display.says("print-object", "no") {
        return None;
    }
    let text: String = display
        .children()
        .map(|piece| match (piece.name(), piece.words().trim()) {
            ("accidental-text", "flat") => "♭".to_owned(),
            ("accidental-text", "sharp") => "♯".to_owned(),
            ("accidental-text", "natural") => "♮".to_owned(),
            ("display-text", _) => piece.words(),
            _ => String::new(),
        })
        .collect();
    let text = on_one_line(&text);
    (!text.is_empty()).then(|| Text {
        text,
        span: display.span(),
    })
}

/// The kind of instrument by the format's own list of sounds (MusicXML 4.0, `sounds.xml`).
fn sound(element: Element<'_>) -> Option<(WitnessKind, Text)> {
    let text = element.words().trim().to_owned();
    let class = match text.as_str() {
        "" => return None,
        "brass.french-horn" | "brass.vienna-horn" => Class::Horn,
        "brass.natural-horn" => Class::NaturalHorn,
        _ => Class::Other,
    };
    let span = element.span();
    Some((WitnessKind::Class(class), Text { text, span }))
}
