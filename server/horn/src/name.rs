//! Reads a part's name: whether it is a horn's, on which crook, and for which players.

use std::ops::Range;

use crate::concert_pitch::concert_pitch;
use crate::crook::Crook;
use crate::crook_name::{CrookName, Found, Spelling, crook_at, is_preposition};
use crate::name_words::{Noun, is_adjective, is_open, noun_at};
use crate::natural_name::{natural_words, says_natural};
use crate::players::{Players, counts, is_number_word, read_players, roman, unison_at};
use crate::words::{Kind, Token, tokens};

/// What a part's name says.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Default)]
pub struct PartName {
    /// Whether the part is a horn's. All else is empty when it is not.
    pub is_horn: bool,
    /// The crook.
    pub crook: CrookName,
    /// Where the crook stands in the name, in bytes, octave words included and "in" left out.
    pub crook_range: Option<Range<usize>>,
    /// The players' numbers in the order named: `III-IV` is 3, 4, and `4 Hörner` is 1 to 4.
    pub players: Vec<u8>,
    /// Whether they are told to play together: `a 2`.
    pub unison: bool,
    /// Whether the name speaks of more than one player.
    pub plural: bool,
    /// Whether the name leaves open if horns are meant (`Horn Section`); then it is not taken for a horn's.
    pub doubtful: bool,
    /// Whether it is a horn without valves: `Naturhorn`, `corno da caccia`.
    pub natural: bool,
}

/// Reads a part's name in English, Italian, French, German, Spanish, Polish or Czech, and the usual names in Portuguese,
/// Dutch, Hungarian, the Nordic languages, Russian and its neighbours.
#[must_use]
pub fn read_name(name: &str) -> PartName {
    let tokens = tokens(name);
    let Some((at, noun)) = find_horn(&tokens) else {
        return PartName::default();
    };
    if is_open(&tokens, at + noun.length) {
        return PartName {
            doubtful: true,
            ..PartName::default()
        };
    }
    let crook = find_crook(&tokens, at, noun);
    let taken = crook.as_ref().map_or(0..0, |found| found.tokens.clone());
    let Players { numbers, unison } = read_players(&tokens, at, noun, &taken);
    let plural = noun.plural || unison || numbers.len() > 1;
    PartName {
        is_horn: true,
        crook: crook.as_ref().map(|found| found.name).unwrap_or_default(),
        crook_range: crook.map(|found| found.range),
        players: numbers,
        unison,
        plural,
        doubtful: false,
        natural: says_natural(&tokens, at),
    }
}

/// Where the words of a horn's name begin that no reader of names knows, and where they end: `in Q` of `horn in Q`,
/// `student` of `horn in F student`. `None` when all are read, or the name is no horn's.
pub(crate) fn first_unread(name: &str) -> Option<Range<usize>> {
    let tokens = tokens(name);
    let (horn, noun) = find_horn(&tokens)?;
    let crook = find_crook(&tokens, horn, noun).map_or(0..0, |found| found.tokens);
    let natural = natural_words(&tokens, horn);
    let read = |at: usize| {
        let token = &tokens[at];
        (horn..horn + noun.length).contains(&at)
            || crook.contains(&at)
            || natural.contains(&at)
            || token.kind != Kind::Word
            || is_adjective(&token.folded)
            || is_number_word(&tokens, at)
            || counts(&token.folded)
            || is_preposition(token) && !crook.is_empty()
            || matches!(
                token.folded.as_str(),
                "crook" | "horn" | "unis" | "unisono" | "unison"
            )
    };
    let first = (0..tokens.len()).find(|&at| !read(at))?;
    let last = (first..tokens.len()).take_while(|&at| !read(at)).last()?;
    // "in Q": the preposition and what follows it belong together, whatever the letter might be besides.
    let last = if is_preposition(&tokens[first]) {
        tokens.len() - 1
    } else {
        last
    };
    Some(tokens[first].range.start..tokens[last].range.end)
}

/// The first word for a horn that is not part of another instrument's name.
pub(crate) fn find_horn(tokens: &[Token<'_>]) -> Option<(usize, Noun)> {
    (0..tokens.len()).find_map(|at| {
        let noun = noun_at(tokens, at)?;
        // "Bb alto Horn" is a horn crooked in B flat alto; any other "alto horn" is a saxhorn.
        let foreign = noun.foreign && !crook_before(tokens, at).is_some_and(|f| is_alto_crook(&f));
        (!foreign).then_some((at, noun))
    })
}

const fn is_alto_crook(found: &Found) -> bool {
    found.has_octave
        && matches!(
            found.name,
            CrookName::Named(Crook::CAlto | Crook::BFlatAlto | Crook::A | Crook::AFlat)
        )
}

/// The crook of a name whose horn word stands at `at`.
pub(crate) fn find_crook(tokens: &[Token<'_>], at: usize, noun: Noun) -> Option<Found> {
    after_preposition(tokens, at + 1..tokens.len())
        .or_else(|| after_preposition(tokens, 0..at))
        .or_else(|| bracketed(tokens))
        .or_else(|| crook_before(tokens, at))
        .or_else(|| crook_after(tokens, at + noun.length, noun))
        .or_else(|| concert_pitch(tokens))
}

/// `in F`, `en mi bémol`, `in (Es)`.
pub(crate) fn after_preposition(tokens: &[Token<'_>], within: Range<usize>) -> Option<Found> {
    within.into_iter().find_map(|at| {
        if !is_preposition(&tokens[at]) {
            return None;
        }
        // "in (Es)", and the scribes' "in.D."
        let between = tokens
            .get(at + 1)
            .is_some_and(|next| opens(next) || next.is_sign(".") || is_of(&tokens[at], next));
        let found = crook_at(tokens, at + 1 + usize::from(between))?;
        // "in la distanza", "in a box": an article, not a note.
        let note = &tokens[found.note_at];
        let article = (found.spelling == Spelling::Solfege || note.folded == "a")
            && !note.is_capital()
            && tokens.get(found.tokens.end).is_some_and(|next| {
                next.kind == Kind::Word
                    && !is_adjective(&next.folded)
                    && !is_number_word(tokens, found.tokens.end)
                    && noun_at(tokens, found.tokens.end).is_none()
            });
        (!article).then_some(found)
    })
}

/// The scribes' "toni di Es", "ton de Mi".
fn is_of(before: &Token<'_>, token: &Token<'_>) -> bool {
    matches!(before.folded.as_str(), "toni" | "tono" | "ton")
        && matches!(token.folded.as_str(), "di" | "de")
}

fn opens(token: &Token<'_>) -> bool {
    token.is_sign("(") || token.is_sign("[")
}

/// `(F)`, `[Es, 1]`.
pub(crate) fn bracketed(tokens: &[Token<'_>]) -> Option<Found> {
    (0..tokens.len())
        .filter(|&at| opens(&tokens[at]))
        .find_map(|at| {
            let found = crook_at(tokens, at + 1)?;
            let next = tokens.get(found.tokens.end)?;
            let ends = next.kind != Kind::Word || matches!(next.folded.as_str(), "crook" | "horn");
            let unison = unison_at(tokens, at + 1).is_some();
            (ends && !unison).then_some(found)
        })
}

/// `F Horn`, `Es-Horn`, `Bb (alto) Horn`, `F French Horn`: a name that ends where the horn word begins.
pub(crate) fn crook_before(tokens: &[Token<'_>], horn: usize) -> Option<Found> {
    let mut end = horn;
    while end > 0 && (tokens[end - 1].is_sign("-") || is_adjective(&tokens[end - 1].folded)) {
        end -= 1;
    }
    // The longest name is octave, hyphen, note, hyphen, accidental, and an octave word in brackets.
    (end.saturating_sub(6)..end)
        .filter_map(|start| crook_at(tokens, start))
        .find(|found| found.tokens.end == end && found.spelling == Spelling::Letter)
}

/// `Horn F`, `Corno 1 Es`, `Horn I, D`: a capitalised name among numbers and signs only.
fn crook_after(tokens: &[Token<'_>], from: usize, noun: Noun) -> Option<Found> {
    for at in from..tokens.len() {
        let token = &tokens[at];
        if token.kind != Kind::Word {
            continue;
        }
        let joins_numbers = token.folded == "e" && between_numbers(tokens, at);
        let unison = unison_at(tokens, at).is_some_and(|_| {
            let stuck = tokens
                .get(at + 1)
                .is_some_and(|next| next.range.start == token.range.end);
            noun.plural || stuck || !token.is_capital()
        });
        if let Some(found) = crook_at(tokens, at)
            && tokens[found.note_at].is_capital()
            && !joins_numbers
            && !unison
        {
            return Some(found);
        }
        if !is_number_word(tokens, at) {
            return None;
        }
    }
    None
}

fn between_numbers(tokens: &[Token<'_>], at: usize) -> bool {
    let numbered = |at: usize| {
        tokens.get(at).is_some_and(|t| t.kind == Kind::Number) || roman(tokens, at).is_some()
    };
    let before = (0..at).rev().find(|&place| !tokens[place].is_soft());
    before.is_some_and(numbered) && numbered(at + 1)
}

#[cfg(test)]
#[path = "name_tests.rs"]
mod tests;
