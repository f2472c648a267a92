//! Words and signs that only players of strings can obey: plucking, bowing, choosing a string.

use std::ops::Range;

use crate::addressed::{Addressed, read_address};
use crate::words::{phrase_at, tokens};

/// What only a bow or a finger on a string can do, in folded spelling; common practice.
const PHRASES: [&str; 31] = [
    "pizz",
    "pizzicato",
    "arco",
    "col arco",
    "coll arco",
    "punta d arco",
    "col legno",
    "col legno battuto",
    "col legno tratto",
    "spiccato",
    "saltando",
    "sul ponticello",
    "sul pont",
    "sul tasto",
    "sulla tastiera",
    "flautando",
    "am steg",
    "am griffbrett",
    "am frosch",
    "mit dem bogen",
    "bogen",
    "aufstrich",
    "abstrich",
    "archet",
    "sur le chevalet",
    "sur la touche",
    "up bow",
    "down bow",
    "bowed",
    "bow tremolo",
    "bowed tremolo",
];

/// Strings by name, behind "sul"; common practice.
const STRINGS: [&str; 10] = ["g", "d", "a", "e", "c", "sol", "re", "la", "mi", "do"];

/// Names of signs for the bow and the plucking hand: ABC 2.1, section 4.14, and MusicXML 4.0, `technical`.
const SIGNS: [&str; 8] = [
    "upbow",
    "downbow",
    "snap",
    "thumb",
    "up-bow",
    "down-bow",
    "snap-pizzicato",
    "thumb-position",
];

/// The first words of a text that only players of strings can obey, by their bytes; `None` where there are none, and
/// where the text speaks to players of another instrument.
#[must_use]
pub fn find_string_words(text: &str) -> Option<Range<usize>> {
    if read_address(text).is_some_and(|address| address.to == Addressed::Others) {
        return None;
    }
    let all = tokens(text);
    let words: Vec<_> = all
        .iter()
        .filter(|token| !token.is_soft())
        .cloned()
        .collect();
    let (at, length) = (0..words.len()).find_map(|at| {
        let phrases = PHRASES.iter().filter_map(|it| phrase_at(&words, at, it));
        let string = || {
            let named = words.get(at + 1)?;
            let is_string = STRINGS.contains(&named.folded.as_str());
            (words[at].folded == "sul" && is_string).then_some(2)
        };
        Some((at, phrases.max().or_else(string)?))
    })?;
    let (start, mut end) = (words[at].range.start, words[at + length - 1].range.end);
    // The point that shortens the last word belongs to it.
    if let Some(point) = all.iter().find(|token| token.range.start == end)
        && point.is_sign(".")
    {
        end = point.range.end;
    }
    Some(start..end)
}

/// Whether a sign, by its name in the notation, is one of the bow or of a plucking finger.
#[must_use]
pub fn is_string_sign(name: &str) -> bool {
    SIGNS.contains(&name)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(text: &str) -> Option<&str> {
        find_string_words(text).map(|range| &text[range])
    }

    #[test]
    fn words_of_bow_and_finger_are_found_where_they_stand() {
        for (text, words) in [
            ("pizz.", "pizz."),
            ("Pizzicato", "Pizzicato"),
            ("p, arco", "arco"),
            ("sempre sul pont.", "sul pont."),
            ("sul G", "sul G"),
            ("Am Steg", "Am Steg"),
            ("col legno battuto", "col legno battuto"),
            ("1. arco", "arco"),
            ("down-bow", "down-bow"),
        ] {
            assert_eq!(found(text), Some(words), "{text}");
        }
    }

    #[test]
    fn other_words_are_left_in_peace() {
        for text in [
            "stopped",
            "sul fine",
            "Vl. pizz.",
            "Str. arco",
            "a2",
            "Regenbogenlied",
            "dolce",
            "",
        ] {
            assert_eq!(found(text), None, "{text}");
        }
        assert!(is_string_sign("upbow") && is_string_sign("up-bow"));
        assert!(!is_string_sign("open-string") && !is_string_sign("trill"));
    }
}
