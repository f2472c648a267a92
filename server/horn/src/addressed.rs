//! Reads whom words over a staff speak to: one player of several, all of them, or another instrument.

use crate::other_instruments::is_other_instrument;
use crate::players::{is_number_word, ordinal, roman, unison_at};
use crate::tempo_words::tempo_of;
use crate::words::{Kind, Token, tokens};

/// Whom words speak to.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Addressed {
    /// These players, by their numbers: `1.`, `II`, `1. 2.`.
    Players(Vec<u8>),
    /// So many on one line: `a 2`.
    Together(u8),
    /// All on the staff: `unis.`, `both`, `tutti`.
    All,
    /// Players of another instrument, whose cue this is: `Vl. con sord.`.
    Others,
}

/// Whom words speak to, and where what is said to them begins.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Address {
    /// Whom.
    pub to: Addressed,
    /// Where the rest of the words begins, in bytes.
    pub rest: usize,
    /// Whether nothing else can be meant; a bare figure may also count bars or fingers.
    pub sure: bool,
}

/// Words that speak to everybody on a staff.
const ALL: [&str; 9] = [
    "unis", "unisono", "unison", "both", "beide", "tutti", "alle", "tous", "todos",
];

/// Figures in circles, whose place in the list is their number less one.
const CIRCLED: [char; 8] = ['①', '②', '③', '④', '⑤', '⑥', '⑦', '⑧'];

/// Reads whom words speak to. `None` when they name nobody, and so speak to whoever plays.
#[must_use]
pub fn read_address(text: &str) -> Option<Address> {
    let tokens = tokens(text);
    let start = tokens.iter().take_while(|token| opens(token)).count();
    let first = tokens.get(start)?;
    let others = || Address {
        to: Addressed::Others,
        rest: text.len(),
        sure: true,
    };
    // A cue names its instrument first; "Fl." alone names it too, for the notes that follow.
    let named = start
        + tokens
            .iter()
            .skip(start)
            .take_while(|token| leads_to_cue(token))
            .count();
    if is_other_instrument(&tokens, named) {
        return Some(others());
    }
    let rest = |at: usize| {
        let after = tokens.iter().skip(at).find(|token| !closes(token));
        after.map_or(text.len(), |token| token.range.start)
    };
    if let Some((count, length)) = unison_at(&tokens, start) {
        return Some(Address {
            to: Addressed::Together(count),
            rest: rest(start + length),
            sure: true,
        });
    }
    if ALL.contains(&first.folded.as_str()) {
        return Some(Address {
            to: Addressed::All,
            rest: rest(start + 1),
            sure: true,
        });
    }
    let mut players = Vec::new();
    let mut at = start;
    while let Some((player, length)) = player_at(&tokens, at) {
        if !players.contains(&player) {
            players.push(player);
        }
        at += length;
        // "1. Vl." is a violin's number.
        if is_other_instrument(&tokens, at) {
            return Some(others());
        }
        while tokens.get(at).is_some_and(joins) && player_at(&tokens, at + 1).is_some() {
            at += 1;
        }
    }
    // "II. Adagio" numbers a movement.
    let heading = tokens
        .iter()
        .skip(at)
        .find(|token| !closes(token))
        .is_some_and(|word| {
            word.folded != "sostenuto" && word.folded != "maestoso" && tempo_of(word.text).is_some()
        });
    (!players.is_empty() && !heading).then(|| Address {
        to: Addressed::Players(players),
        rest: rest(at),
        sure: !(tokens.len() == 1 && first.kind == Kind::Number),
    })
}

/// A player's number at a token, and the tokens it takes: `1.`, `2°`, `1mo`, `II`, `primo`, `①`.
fn player_at(tokens: &[Token<'_>], at: usize) -> Option<(u8, usize)> {
    let token = tokens.get(at)?;
    let circled = CIRCLED
        .iter()
        .position(|&sign| token.text.starts_with(sign));
    if let Some(place) = circled {
        return Some((place as u8 + 1, 1));
    }
    let sign = |at: usize, signs: &[&str]| {
        tokens
            .get(at)
            .is_some_and(|next| signs.contains(&next.text))
    };
    match token.kind {
        Kind::Number => {
            let player = token.text.parse().ok().filter(|n| (1..=16).contains(n))?;
            let next = tokens.get(at + 1);
            let stuck = next.is_some_and(|next| {
                next.range.start == token.range.end && is_number_word(tokens, at + 1)
            });
            if stuck {
                let point = usize::from(sign(at + 2, &["."]));
                return Some((player, 2 + point));
            }
            if sign(at + 1, &[".", "°", "º", ")"]) {
                return Some((player, 2));
            }
            // A bare figure is a player's alone or before a word that asks something; "3 bars" counts others.
            let asks = next.is_none_or(|next| {
                matches!(
                    next.folded.as_str(),
                    "solo" | "con" | "senza" | "mute" | "muted" | "stopped" | "open"
                ) || joins(next) && player_at(tokens, at + 2).is_some()
            });
            asks.then_some((player, 1))
        }
        Kind::Word => {
            let player = roman(tokens, at)
                .filter(|_| token.is_capital())
                .or_else(|| ordinal(&token.folded))?;
            let point = usize::from(sign(at + 1, &[".", "°", "º"]));
            // "I" may begin an English sentence.
            let sentence = token.text == "I"
                && point == 0
                && tokens.get(at + 1).is_some_and(|next| {
                    next.kind == Kind::Word && next.folded != "solo" && next.folded != "con"
                });
            (!sentence).then_some((player, 1 + point))
        }
        Kind::Sign => None,
    }
}

/// Whether another instrument's name may follow in a cue: `Solo Vl.`, `Cue: Fl.`.
fn leads_to_cue(token: &Token<'_>) -> bool {
    token.is_sign(":")
        || matches!(
            token.folded.as_str(),
            "solo" | "soli" | "cue" | "stichnoten"
        )
}

fn opens(token: &Token<'_>) -> bool {
    token.is_sign("(") || token.is_sign("[")
}

fn closes(token: &Token<'_>) -> bool {
    matches!(token.text, ")" | "]" | ":" | "," | "." | "°" | "º")
}

/// Whether a token stands between two players' numbers.
fn joins(token: &Token<'_>) -> bool {
    matches!(token.text, "," | "+" | "&" | "/" | "-" | "–")
        || matches!(token.folded.as_str(), "and" | "e" | "et" | "und" | "y")
}

/// Whether words ask one player for several notes at once: `multiphonic`, `sing and play`.
#[must_use]
pub fn asks_multiphonics(text: &str) -> bool {
    let folded: Vec<String> = tokens(text).into_iter().map(|token| token.folded).collect();
    let folded = folded.join(" ");
    [
        "multiphon",
        "mehrklang",
        "sing and play",
        "play and sing",
        "sing + play",
        "sing & play",
        "singen und spielen",
        "mitsingen",
        "chanter et jouer",
        "cantare e suonare",
        "cantando",
        "cantar y tocar",
    ]
    .iter()
    .any(|words| folded.contains(words))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whom_words_speak_to() {
        use Addressed::{All, Others, Players, Together};
        let cases: [(&str, Option<(Addressed, &str)>); 46] = [
            ("1.", Some((Players(vec![1]), ""))),
            ("2.", Some((Players(vec![2]), ""))),
            ("1", Some((Players(vec![1]), ""))),
            ("I", Some((Players(vec![1]), ""))),
            ("II.", Some((Players(vec![2]), ""))),
            ("1°", Some((Players(vec![1]), ""))),
            ("1mo", Some((Players(vec![1]), ""))),
            ("2do", Some((Players(vec![2]), ""))),
            ("1o", Some((Players(vec![1]), ""))),
            ("①", Some((Players(vec![1]), ""))),
            ("primo", Some((Players(vec![1]), ""))),
            ("1. 2.", Some((Players(vec![1, 2]), ""))),
            ("1.2.", Some((Players(vec![1, 2]), ""))),
            ("1. & 2.", Some((Players(vec![1, 2]), ""))),
            ("I, II", Some((Players(vec![1, 2]), ""))),
            ("(2.)", Some((Players(vec![2]), ""))),
            ("1. solo", Some((Players(vec![1]), "solo"))),
            ("1 solo", Some((Players(vec![1]), "solo"))),
            ("1. con sord.", Some((Players(vec![1]), "con sord."))),
            ("2. aperto", Some((Players(vec![2]), "aperto"))),
            ("①sourdine", Some((Players(vec![1]), "sourdine"))),
            ("1° sourdine", Some((Players(vec![1]), "sourdine"))),
            ("a2", Some((Together(2), ""))),
            ("a 2", Some((Together(2), ""))),
            ("zu 2", Some((Together(2), ""))),
            ("zu zweit", Some((Together(2), ""))),
            ("zu dritt", Some((Together(3), ""))),
            ("zu viert", Some((Together(4), ""))),
            ("a4 con sord.", Some((Together(4), "con sord."))),
            ("unis.", Some((All, ""))),
            ("both", Some((All, ""))),
            ("Vl. con sord.", Some((Others, ""))),
            ("Fl. solo", Some((Others, ""))),
            ("(Violini con sord.)", Some((Others, ""))),
            ("1. Vl. con sord.", Some((Others, ""))),
            ("2nd Vln. muted", Some((Others, ""))),
            ("Solo Vl. con sord.", Some((Others, ""))),
            ("Engl. Hn. muted", Some((Others, ""))),
            ("piano", None),
            ("1. piano", Some((Players(vec![1]), "piano"))),
            ("II. Adagio", None),
            ("1. maestoso", Some((Players(vec![1]), "maestoso"))),
            ("con sord.", None),
            ("3 bars", None),
            ("I will return", None),
            ("", None),
        ];
        for (text, expected) in cases {
            let read = read_address(text);
            let read = read.map(|address| (address.to, &text[address.rest..]));
            assert_eq!(read, expected, "{text}");
        }
    }

    #[test]
    fn multiphonics_in_words() {
        assert!(asks_multiphonics("(multiphonics)"));
        assert!(asks_multiphonics("Sing and play"));
        assert!(!asks_multiphonics("singing"));
    }
}
