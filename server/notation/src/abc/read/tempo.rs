//! `Q:` fields: words, beats and speed.

use score::TempoMark;
use theory::{Quarters, Tempo};
use tree_sitter::Node;

use super::escapes::resolved;
use super::rhythm::whole_note_fraction;
use super::syntax::{field_text, text_of};

/// What a `Q:` field says, if anything; the older forms `Q:120` and `Q:C=120` count unit notes.
pub(super) fn mark(node: Node<'_>, text: &str, unit: Quarters) -> Option<TempoMark> {
    let mut words: Option<String> = None;
    let mut beat = Quarters::ZERO;
    let mut rate = None;
    let mut cursor = node.walk();
    for child in node.children(&mut cursor) {
        match child.kind() {
            "tempo_text" => {
                let text = field_text(child, "text", text).map(resolved);
                words = match (words, text) {
                    (Some(before), Some(after)) => Some(format!("{before} {after}")),
                    (before, after) => before.or(after),
                };
            }
            "fraction" => {
                if let Some(length) = whole_note_fraction(text_of(child, text)) {
                    beat += length;
                }
            }
            "tempo_unit" => {
                let length = text_of(child, text).trim_start_matches('C');
                beat += unit * super::rhythm::factor((!length.is_empty()).then_some(length));
            }
            "tempo_rate" => rate = text_of(child, text).parse::<f64>().ok(),
            _ => {}
        }
    }
    let beat = if beat.is_zero() { unit } else { beat };
    let tempo = rate
        .filter(|rate| *rate > 0.0)
        .map(|rate| Tempo::beats_a_minute(beat, rate));
    (words.is_some() || tempo.is_some()).then_some(TempoMark { words, tempo })
}

/// Whether the numbers of a `Q:` field give a speed at which something could be played.
pub(super) fn is_believed(node: Node<'_>, text: &str) -> bool {
    let mut cursor = node.walk();
    node.children(&mut cursor).all(|child| {
        let said = text_of(child, text);
        match child.kind() {
            "fraction" => whole_note_fraction(said).is_some(),
            "tempo_unit" => super::rhythm::is_believed(said.trim_start_matches('C')),
            "tempo_rate" => said.parse().is_ok_and(Tempo::is_believed),
            _ => true,
        }
    })
}
