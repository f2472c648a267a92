//! Reads which players a part's name is for: figures, Roman numbers, ordinals, ranges, and "a 2".

use std::ops::Range;

use crate::name_words::{Noun, is_adjective};
use crate::words::{Kind, Token};

/// The players a name speaks of.
pub(crate) struct Players {
    /// Their numbers in the order named.
    pub numbers: Vec<u8>,
    /// Whether they play together.
    pub unison: bool,
}

/// More horns than stand in any one row; a larger figure is read digit by digit, `12` staying twelve.
const MOST: u32 = 16;

pub(crate) const ROMAN: [&str; 10] = ["i", "ii", "iii", "iv", "v", "vi", "vii", "viii", "ix", "x"];

/// Ordinals, and what each counts to.
const ORDINALS: [(&str, u8); 72] = [
    ("first", 1),
    ("second", 2),
    ("third", 3),
    ("fourth", 4),
    ("primo", 1),
    ("prima", 1),
    ("secondo", 2),
    ("terzo", 3),
    ("quarto", 4),
    ("premier", 1),
    ("deuxieme", 2),
    ("troisieme", 3),
    ("quatrieme", 4),
    ("erste", 1),
    ("erstes", 1),
    ("zweite", 2),
    ("zweites", 2),
    ("dritte", 3),
    ("drittes", 3),
    ("vierte", 4),
    ("viertes", 4),
    ("primera", 1),
    ("primero", 1),
    ("segunda", 2),
    ("segundo", 2),
    ("tercera", 3),
    ("cuarta", 4),
    ("pierwszy", 1),
    ("pierwsza", 1),
    ("drugi", 2),
    ("druga", 2),
    ("prvni", 1),
    ("druhy", 2),
    ("treti", 3),
    ("ctvrty", 4),
    ("primeira", 1),
    ("primeiro", 1),
    ("terceira", 3),
    ("terceiro", 3),
    ("quarta", 4),
    ("eerste", 1),
    ("tweede", 2),
    ("derde", 3),
    ("vierde", 4),
    ("forsta", 1),
    ("andra", 2),
    ("tredje", 3),
    ("fjarde", 4),
    ("forste", 1),
    ("fjerde", 4),
    ("первая", 1),
    ("вторая", 2),
    ("третья", 3),
    ("четвертая", 4),
    ("четвёртая", 4),
    // Plurals and other genders, the scribes' Latin, and Roman numbers with the ends of ordinals.
    ("primi", 1),
    ("secondi", 2),
    ("seconda", 2),
    ("secundo", 2),
    ("secunda", 2),
    ("tertio", 3),
    ("tertia", 3),
    ("premiere", 1),
    ("premiers", 1),
    ("seconds", 2),
    ("erster", 1),
    ("zweiter", 2),
    ("dritter", 3),
    ("vierter", 4),
    ("imo", 1),
    ("iido", 2),
    ("io", 1),
];

/// Numbers of horns in words.
const COUNTS: [(&str, u8); 25] = [
    ("two", 2),
    ("three", 3),
    ("four", 4),
    ("due", 2),
    ("tre", 3),
    ("quattro", 4),
    ("deux", 2),
    ("trois", 3),
    ("quatre", 4),
    ("zwei", 2),
    ("drei", 3),
    ("vier", 4),
    ("dos", 2),
    ("tres", 3),
    ("cuatro", 4),
    ("dwa", 2),
    ("cztery", 4),
    ("dva", 2),
    ("ctyri", 4),
    ("duas", 2),
    ("quatro", 4),
    ("twee", 2),
    ("drie", 3),
    ("tva", 2),
    ("fyra", 4),
];

/// Endings of ordinals and words that join numbers: they name nobody.
pub(crate) const JOINTS: [&str; 32] = [
    "mo", "ma", "da", "st", "nd", "rd", "th", "o", "º", "ª", "a", "do", "ro", "re", "er", "eme",
    "e", "y", "i", "u", "et", "and", "und", "to", "bis", "no", "nr", "num", "part", "и", "og",
    "och",
];

fn listed(list: &[(&str, u8)], word: &str) -> Option<u8> {
    list.iter().find(|(name, _)| *name == word).map(|&(_, n)| n)
}

/// The player an ordinal names: `primo`.
pub(crate) fn ordinal(folded: &str) -> Option<u8> {
    listed(&ORDINALS, folded)
}

/// How many a folded word counts: `vier`.
pub(crate) fn count(folded: &str) -> Option<u8> {
    listed(&COUNTS, folded)
}

/// Whether a folded word counts horns: `vier`.
pub(crate) fn counts(folded: &str) -> bool {
    count(folded).is_some()
}

/// How many play together when a token begins `a2`, `à 2`, `zu 2`, `a due`, and how many tokens say it.
pub(crate) fn unison_at(tokens: &[Token<'_>], at: usize) -> Option<(u8, usize)> {
    let word = tokens.get(at)?.folded.as_str();
    if !matches!(word, "a" | "zu") {
        return None;
    }
    let next = tokens.get(at + 1)?;
    let count = match next.kind {
        Kind::Number => next.text.parse().ok().filter(|n| (2..=8).contains(n))?,
        Kind::Word => match (word, next.folded.as_str()) {
            ("zu", "zweit" | "zweien") => 2,
            ("zu", "dritt") => 3,
            ("zu", "viert") => 4,
            ("a", other) => listed(&COUNTS, other)?,
            _ => return None,
        },
        Kind::Sign => return None,
    };
    Some((count, 2))
}

/// The Roman number at a token; single small letters but `i` are words of their own.
pub(crate) fn roman(tokens: &[Token<'_>], at: usize) -> Option<u8> {
    let token = tokens.get(at)?;
    let place = ROMAN.iter().position(|&roman| roman == token.folded)?;
    let small = !token.is_capital();
    // Polish "I i II": a small i after a number is "and".
    let joint = small
        && token.text == "i"
        && at.checked_sub(1).is_some_and(|before| {
            let before = &tokens[before];
            before.kind == Kind::Number
                || before.is_soft()
                || ROMAN.contains(&before.folded.as_str())
        });
    let letter = small && matches!(token.text, "v" | "x");
    (!(letter || joint)).then_some(place as u8 + 1)
}

/// Whether a word is part of saying which player.
pub(crate) fn is_number_word(tokens: &[Token<'_>], at: usize) -> bool {
    let word = tokens[at].folded.as_str();
    roman(tokens, at).is_some()
        || listed(&ORDINALS, word).is_some()
        || JOINTS.contains(&word)
        || unison_at(tokens, at).is_some()
}

/// The players of a name whose horn word stands at `horn` and whose crook takes the tokens `crook`.
pub(crate) fn read_players(
    tokens: &[Token<'_>],
    horn: usize,
    noun: Noun,
    crook: &Range<usize>,
) -> Players {
    let mut players = Players {
        numbers: Vec::new(),
        unison: false,
    };
    let mut range = false;
    let mut at = 0;
    while at < tokens.len() {
        let token = &tokens[at];
        // The Nordic "i F" is no player: its i leads to the crook.
        let leads = token.text == "i" && at + 1 == crook.start && !crook.is_empty();
        if crook.contains(&at) || at == horn || leads {
            range = false;
        } else if let Some((_, length)) =
            unison_at(tokens, at).filter(|_| !crook.contains(&(at + 1)))
        {
            players.unison = true;
            range = false;
            at += length;
            continue;
        } else if let Some(count) =
            count_before(tokens, at, horn, noun, crook).filter(|_| players.numbers.is_empty())
        {
            players.numbers.extend(1..=count);
            range = false;
        } else if matches!(token.folded.as_str(), "unis" | "unisono" | "unison") {
            players.unison = true;
        } else {
            let numbers = numbers_at(tokens, at);
            if numbers.is_empty() {
                let links = matches!(token.text, "-" | "–" | "—" | "‐" | "‑")
                    || matches!(token.folded.as_str(), "to" | "bis");
                // A point may stand before the dash, as in "1.-4."; anything else breaks a range.
                range = links && !players.numbers.is_empty() || range && token.is_soft();
            } else {
                add(&mut players.numbers, &numbers, range);
                range = false;
            }
        }
        at += 1;
    }
    players
}

/// Adds numbers not yet named; after a dash, with those in between.
fn add(players: &mut Vec<u8>, numbers: &[u8], range: bool) {
    let from = players.last().copied().filter(|_| range);
    for &number in numbers {
        let start = from
            .filter(|&last| last < number)
            .map_or(number, |last| last + 1);
        for player in start..=number {
            if !players.contains(&player) {
                players.push(player);
            }
        }
    }
}

/// The players a token names.
pub(crate) fn numbers_at(tokens: &[Token<'_>], at: usize) -> Vec<u8> {
    let token = &tokens[at];
    match token.kind {
        Kind::Number => match token.text.parse::<u32>() {
            Ok(number) if (1..=MOST).contains(&number) => vec![number as u8],
            _ => token
                .text
                .bytes()
                .map(|digit| digit - b'0')
                .filter(|player| (1..=8).contains(player))
                .take(8)
                .collect(),
        },
        Kind::Word => roman(tokens, at)
            .or_else(|| listed(&ORDINALS, &token.folded))
            .into_iter()
            .collect(),
        Kind::Sign => Vec::new(),
    }
}

/// The number of horns when a figure or word counts them, as in `4 Hörner`, `2 F Horns`, `deux cors`.
fn count_before(
    tokens: &[Token<'_>],
    at: usize,
    horn: usize,
    noun: Noun,
    crook: &Range<usize>,
) -> Option<u8> {
    if !noun.plural || at >= horn {
        return None;
    }
    let only_adjectives = (at + 1..horn).all(|place| {
        crook.contains(&place) || tokens[place].is_sign("-") || is_adjective(&tokens[place].folded)
    });
    let token = &tokens[at];
    let count = match token.kind {
        Kind::Number => token.text.parse().ok(),
        Kind::Word => listed(&COUNTS, &token.folded),
        Kind::Sign => None,
    }?;
    (only_adjectives && (1..=MOST as u8).contains(&count)).then_some(count)
}
