//! What can be written at a place of a score: words and signs for the player, names, values of fields, whole new parts.

mod abc;
mod instruction;
mod kern;
mod musicxml;
mod names;
mod new_parts;
mod player;
mod ready;
mod spot;
mod values;
mod words;

use std::ops::Range;

use notation::Format;

use crate::Judged;
use spot::{Spot, Wanted};

pub use instruction::suggest_instruction;

/// Something that can be written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Suggestion {
    /// What it is called in a list, where that is not what is written.
    pub label: Option<String>,
    /// What is written.
    pub text: String,
    /// Whether the text has places to fill in, as `${1:c4}`, and one to end at, `$0`.
    pub to_fill_in: bool,
    /// What it sets, or what it means.
    pub what: String,
    /// The bytes that it takes the place of.
    pub replaces: Range<usize>,
}

impl Suggestion {
    /// One that is listed as it is written.
    pub(crate) fn plain(
        text: impl Into<String>,
        what: impl Into<String>,
        replaces: Range<usize>,
    ) -> Self {
        Self {
            label: None,
            text: text.into(),
            to_fill_in: false,
            what: what.into(),
            replaces,
        }
    }
}

/// How much of the text before and behind a place is looked at, in bytes; no word, name or value is longer.
const LOOKED_AT: usize = 400;

/// What can be written at a byte of a score, what fits best first; `None` where nothing is to be offered.
#[must_use]
pub fn suggest_music(judged: &Judged, byte: usize) -> Option<Vec<Suggestion>> {
    let rope = judged.document().rope();
    let byte = byte.min(rope.len_bytes());
    let near = |from: usize, to: usize| {
        let (from, to) = (rope.byte_to_char(from), rope.byte_to_char(to));
        rope.slice(from..to).to_string()
    };
    let before = near(byte.saturating_sub(LOOKED_AT), byte);
    let behind = near(byte, (byte + LOOKED_AT).min(rope.len_bytes()));
    let line = before.rsplit(['\n', '\r']).next().unwrap_or_default();
    let rest = behind.split(['\n', '\r']).next().unwrap_or_default();
    if let Some(new) = new_parts::offered(judged, line, rest, byte) {
        return Some(new);
    }
    let spot = match judged.document().format() {
        Format::Abc => abc::spot(line, rest),
        Format::Kern => kern::spot(line),
        Format::MusicXml => musicxml::spot(&before, rest),
    }?;
    Some(offers(judged, &spot, byte)).filter(|offers| !offers.is_empty())
}

/// What can stand at a spot, of all that begins as it has been begun.
fn offers(judged: &Judged, spot: &Spot<'_>, byte: usize) -> Vec<Suggestion> {
    let offers = match spot.wanted {
        Wanted::Words => words::offered(judged, spot, byte),
        Wanted::Sign => values::signs(),
        Wanted::PartName => names::offered(judged, byte),
        Wanted::Value(values) => values::of(values),
        Wanted::Music => return ready::offered(judged, byte),
    };
    let replaces = byte - spot.typed.len()..byte + spot.over;
    let typed = spot.typed.to_lowercase();
    let begins = offers.into_iter().filter(|(text, _)| {
        let text = text.to_lowercase();
        text.starts_with(&typed) && !(text == typed && spot.closing.is_empty())
    });
    begins
        .map(|(text, what)| Suggestion {
            label: Some(text.clone()),
            ..Suggestion::plain(
                format!("{}{text}{}", spot.opening, spot.closing),
                what,
                replaces.clone(),
            )
        })
        .collect()
}
