//! Takes the name of a part beside the horns apart: which instrument, which of its kind, in which key.

use std::ops::Range;

use crate::crook_name::is_preposition;
use crate::name::{after_preposition, bracketed as key_in_brackets, crook_before};
use crate::orchestra_instrument::{OrchestraInstrument, is_spelled_out};
use crate::players::{JOINTS, count, numbers_at, ordinal, roman, unison_at};
use crate::words::{Kind, Token, tokens};

/// How the numbers of players are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Figures {
    /// `2`.
    Arabic,
    /// `II`.
    Roman,
    /// As an ordinal (`2nd`, `secondo`), or not at all.
    Words,
}

/// What the name of a part says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct InstrumentName {
    /// The instrument in the words of the name, without number, key and brackets, up to a point or comma.
    pub noun: String,
    /// The same with what follows.
    pub whole: String,
    /// How many players a figure or word counts: `2 Oboi`.
    pub count: Option<u8>,
    /// The numbers of the players.
    pub players: Vec<u8>,
    /// How they are written.
    pub figures: Figures,
    /// The key, as the name spells it.
    pub key: Option<String>,
}

/// The name of a part taken apart; `None` where nothing but numbers, keys and signs stands in it.
pub(crate) fn instrument_name(name: &str) -> Option<InstrumentName> {
    let tokens = tokens(name);
    let bracketed = bracketed(&tokens);
    let key = key(&tokens);
    let in_key = |at: usize| key.as_ref().is_some_and(|(taken, _)| taken.contains(&at));
    let mut read = InstrumentName {
        noun: String::new(),
        whole: String::new(),
        count: None,
        players: Vec::new(),
        figures: Figures::Words,
        key: key
            .as_ref()
            .and_then(|(_, text)| name.get(text.clone()))
            .map(str::to_owned),
    };
    let mut kept: Vec<usize> = Vec::new();
    let mut at = 0;
    while at < tokens.len() {
        if let Some((_, length)) = unison_at(&tokens, at) {
            at += length;
            continue;
        }
        let beside = in_key(at) || bracketed.get(at) == Some(&true);
        let leads = kept.is_empty() && is_preposition(&tokens[at]);
        if beside || leads || is_joint(&tokens, at) {
            at += 1;
            continue;
        }
        let players = numbers_at(&tokens, at);
        if let Some(count) = count_at(&tokens, at) {
            read.count = Some(count);
        } else if players.is_empty() {
            kept.push(at);
        } else {
            read.figures = figures(&tokens, at);
            read.players.extend(players);
        }
        at += 1;
    }
    read.whole = joined(name, &tokens, &kept);
    read.noun = up_to_a_sign(&read.whole);
    (!read.noun.is_empty()).then_some(read)
}

/// Which tokens stand in brackets; none where the whole name does.
fn bracketed(tokens: &[Token<'_>]) -> Vec<bool> {
    let mut depth = 0_usize;
    let mut inside = Vec::with_capacity(tokens.len());
    for token in tokens {
        let opens = token.is_sign("(") || token.is_sign("[");
        let closes = token.is_sign(")") || token.is_sign("]");
        depth += usize::from(opens);
        inside.push(depth > 0);
        depth = depth.saturating_sub(usize::from(closes));
    }
    let mut words = tokens.iter().zip(&inside);
    let all = inside.first() == Some(&true)
        && words.all(|(token, inside)| token.kind != Kind::Word || *inside);
    if all {
        inside.fill(false);
    }
    inside
}

/// The tokens that say the key, with the word that leads to it, and the bytes of its name: `in B flat`, `B flat clarinet`.
fn key(tokens: &[Token<'_>]) -> Option<(Range<usize>, Range<usize>)> {
    if let Some(found) = after_preposition(tokens, 0..tokens.len()) {
        let leads = (0..found.tokens.start)
            .rev()
            .find(|&at| tokens[at].kind == Kind::Word)
            .unwrap_or(found.tokens.start);
        return Some((leads..found.tokens.end, found.range));
    }
    if let Some(found) = key_in_brackets(tokens) {
        return Some((found.tokens, found.range));
    }
    let noun =
        (1..tokens.len()).find(|&at| OrchestraInstrument::of_name(&tokens[at].folded).is_some())?;
    let found = crook_before(tokens, noun)?;
    Some((found.tokens, found.range))
}

/// How the number at a token is written.
fn figures(tokens: &[Token<'_>], at: usize) -> Figures {
    let ends = (at + 1..tokens.len()).find(|&end| !tokens[end].is_soft());
    let ordinal = ends.is_some_and(|end| {
        let stuck = tokens[end - 1].range.end == tokens[end].range.start;
        stuck && JOINTS.contains(&tokens[end].folded.as_str())
    });
    match tokens[at].kind {
        Kind::Number if !ordinal => Figures::Arabic,
        _ if roman(tokens, at).is_some() => Figures::Roman,
        _ => Figures::Words,
    }
}

/// How many players a figure or word at a token counts: `2 Oboi`, but not `2. Oboe` and not `2nd Oboe`.
fn count_at(tokens: &[Token<'_>], at: usize) -> Option<u8> {
    let token = &tokens[at];
    let count = match token.kind {
        Kind::Number => token.text.parse().ok(),
        _ => count(&token.folded),
    }?;
    let next = tokens.get(at + 1)?;
    let noun = next.kind == Kind::Word
        && next.range.start > token.range.end
        && !is_numeral(tokens, at + 1)
        && !JOINTS.contains(&next.folded.as_str());
    let first = || (0..at).all(|before| tokens[before].kind == Kind::Sign);
    (noun && first()).then_some(count)
}

fn is_numeral(tokens: &[Token<'_>], at: usize) -> bool {
    tokens[at].kind == Kind::Number
        || roman(tokens, at).is_some()
        || ordinal(&tokens[at].folded).is_some()
}

/// Whether a word ends an ordinal (`2.do`), joins two numbers (`1 e 2`) or leads to one (`No. 2`).
fn is_joint(tokens: &[Token<'_>], at: usize) -> bool {
    let token = &tokens[at];
    if token.kind != Kind::Word || !JOINTS.contains(&token.folded.as_str()) {
        return false;
    }
    let before = (0..at).rev().find(|&before| !tokens[before].is_soft());
    let after = (at + 1..tokens.len()).find(|&after| !tokens[after].is_soft());
    let number = |at: Option<usize>| at.is_some_and(|at| is_numeral(tokens, at));
    let stuck = tokens
        .get(at.wrapping_sub(1))
        .is_some_and(|last| last.range.end == token.range.start);
    let leads = matches!(token.folded.as_str(), "no" | "nr" | "num" | "part");
    number(before) && (stuck || number(after)) || leads && number(after)
}

/// Words as they stand in a name.
fn joined(name: &str, tokens: &[Token<'_>], kept: &[usize]) -> String {
    let mut text = String::new();
    let mut last: Option<usize> = None;
    for &at in kept {
        let apart = last
            .is_some_and(|last| last + 1 < at || tokens[last].range.end < tokens[at].range.start);
        if apart {
            text.push(' ');
        }
        text.push_str(name.get(tokens[at].range.clone()).unwrap_or_default());
        last = Some(at);
    }
    let sign = |letter: char| !letter.is_alphanumeric();
    let starts = text.trim_start_matches(sign);
    let plain = starts.trim_end_matches(sign);
    with_point(plain, starts.get(plain.len()..).unwrap_or_default())
}

/// What stands before the first sign that ends a name; the point of a shortened word stays.
fn up_to_a_sign(whole: &str) -> String {
    let end = whole.find(|letter: char| letter.is_ascii_digit() || ",.\"\\%".contains(letter));
    let (plain, rest) = whole.split_at(end.unwrap_or(whole.len()));
    with_point(plain.trim_end(), rest)
}

/// A word with the point behind it, where it is so short that the point is its own.
fn with_point(word: &str, rest: &str) -> String {
    let letters = word.chars().all(char::is_alphabetic);
    let short = letters && (1..=4).contains(&word.chars().count()) && !is_spelled_out(word);
    let point = if short && rest.starts_with('.') {
        "."
    } else {
        ""
    };
    format!("{word}{point}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_taken_apart() {
        use Figures::{Arabic, Roman, Words};
        for (name, noun, players, figures, key) in [
            ("Violin", "Violin", &[][..], Words, None),
            ("Violin II", "Violin", &[2], Roman, None),
            ("2nd Violin", "Violin", &[2], Words, None),
            ("Second Violins", "Violins", &[2], Words, None),
            ("II. Violine", "Violine", &[2], Roman, None),
            ("VIOLINO 2.do", "VIOLINO", &[2], Words, None),
            ("Violino I.mo", "Violino", &[1], Roman, None),
            ("Violino Secundo.", "Violino", &[2], Words, None),
            ("Fagotto IIdo", "Fagotto", &[2], Words, None),
            ("Flauto 1mo", "Flauto", &[1], Words, None),
            ("1. Violino. 2.", "Violino", &[1, 2], Arabic, None),
            (
                "Clarinet 2 in B flat",
                "Clarinet",
                &[2],
                Arabic,
                Some("B flat"),
            ),
            ("Clarinet (Bb) 2", "Clarinet", &[2], Arabic, Some("Bb")),
            ("A Clarinet 1", "Clarinet", &[1], Arabic, Some("A")),
            (
                "Clarinetto Secondo Ex Es",
                "Clarinetto",
                &[2],
                Words,
                Some("Es"),
            ),
            ("CLARINETTO II in B.", "CLARINETTO", &[2], Roman, Some("B")),
            (
                "Clarinetto Secundo. C Clarn:",
                "Clarinetto",
                &[2],
                Words,
                None,
            ),
            ("Clarinet No. 2", "Clarinet", &[2], Arabic, None),
            ("2 Oboi", "Oboi", &[], Words, None),
            ("Zwei Oboen", "Oboen", &[], Words, None),
            ("1. e. 2. Tromboni", "Tromboni", &[1, 2], Arabic, None),
            ("Trombone 1 & 2", "Trombone", &[1, 2], Arabic, None),
            ("[Clarinetti in B]", "Clarinetti", &[], Words, Some("B")),
            ("Flutes a 2", "Flutes", &[], Words, None),
            ("Oboe d'amore", "Oboe d'amore", &[], Words, None),
            ("Tuba.", "Tuba", &[], Words, None),
            ("Fl. 2", "Fl.", &[2], Arabic, None),
            ("Violin solo", "Violin solo", &[], Words, None),
            (
                "Bass Clarinet 1 in B",
                "Bass Clarinet",
                &[1],
                Arabic,
                Some("B"),
            ),
            ("Bass-Klarinette", "Bass-Klarinette", &[], Words, None),
            (
                "Violoncello e Basso",
                "Violoncello e Basso",
                &[],
                Words,
                None,
            ),
        ] {
            let read = instrument_name(name).unwrap();
            let said = (
                read.noun.as_str(),
                &read.players[..],
                read.figures,
                read.key.as_deref(),
            );
            assert_eq!(said, (noun, players, figures, key), "{name}");
        }
        for name in ["", "2", "2 (solo)", "I. II.", "in B"] {
            assert_eq!(instrument_name(name), None, "{name}");
        }
    }
}
