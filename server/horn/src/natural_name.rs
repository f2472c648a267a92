//! Whether a part's name says that it is for a horn without valves.

use std::ops::Range;

use crate::name_words::noun_at;
use crate::words::{Token, phrase_at};

/// Folded words that mean a natural horn by themselves.
const WORDS: [&str; 9] = [
    "naturhorn",
    "naturhorner",
    "naturhoerner",
    "jagdhorn",
    "jagdhorner",
    "jagdhoerner",
    "parforcehorn",
    "inventionshorn",
    "trompe de chasse",
];

/// Folded words that say so right before the horn's word.
const BEFORE: [&str; 5] = ["natural", "hand", "hunting", "valveless", "baroque"];

/// Folded phrases that say so right after it.
const AFTER: [&str; 10] = [
    "da caccia",
    "de chasse",
    "de caza",
    "naturale",
    "naturali",
    "naturel",
    "naturels",
    "natural",
    "naturales",
    "a mano",
];

/// Whether a name's tokens speak of a natural horn; the horn's word stands at `horn`.
pub(crate) fn says_natural(tokens: &[Token<'_>], horn: usize) -> bool {
    let by_word = WORDS
        .iter()
        .any(|word| (0..tokens.len()).any(|at| phrase_at(tokens, at, word).is_some()));
    let before = horn
        .checked_sub(1)
        .and_then(|at| tokens.get(at))
        .is_some_and(|token| BEFORE.contains(&token.folded.as_str()));
    let end = horn + noun_at(tokens, horn).map_or(1, |noun| noun.length);
    let after = AFTER
        .iter()
        .any(|phrase| phrase_at(tokens, end, phrase).is_some());
    by_word || before || after
}

/// The tokens after the horn's word that make it a natural one: `da caccia`.
pub(crate) fn natural_words(tokens: &[Token<'_>], horn: usize) -> Range<usize> {
    let end = horn + noun_at(tokens, horn).map_or(1, |noun| noun.length);
    let length = AFTER
        .iter()
        .find_map(|phrase| phrase_at(tokens, end, phrase));
    let before = horn
        .checked_sub(1)
        .filter(|&at| BEFORE.contains(&tokens[at].folded.as_str()));
    before.unwrap_or(end)..end + length.unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use crate::name::read_name;

    #[test]
    fn names_of_natural_horns() {
        for name in [
            "Natural horn in D",
            "natural horn in D, old bass clef",
            "Naturhorn in Es",
            "2 Naturhörner in F",
            "Corno da caccia",
            "Corno da caccia 1 in D",
            "Hunting Horn",
            "Cor de chasse",
            "Corni naturali in Mi bemolle",
            "Hand horn in E",
            "Trompe de chasse",
        ] {
            let read = read_name(name);
            assert!(read.is_horn && read.natural, "{name}: {read:?}");
        }
        for name in [
            "Horn in F",
            "Horn in B natural",
            "Waldhorn",
            "Corno in Fa",
            "F Horn",
            "Oboe da caccia",
        ] {
            assert!(!read_name(name).natural, "{name}");
        }
    }
}
