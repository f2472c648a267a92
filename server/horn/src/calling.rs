//! The words that call one player of a shared staff, or both, as a house prints them.

use crate::addressed::{Addressed, read_address};
use crate::players::ROMAN;

/// Whom words on a staff for two call.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Called {
    /// Both, on one line.
    Both,
    /// The first player.
    First,
    /// The second player.
    Second,
}

impl Called {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Both, Self::First, Self::Second];

    /// The word for them in settings.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Both => "both",
            Self::First => "first",
            Self::Second => "second",
        }
    }

    /// Words that call them in many parts, the most usual first.
    #[must_use]
    pub const fn usual(self) -> &'static [&'static str] {
        match self {
            Self::Both => &["a2", "a 2", "zu 2", "unis."],
            Self::First => &["1.", "I.", "1º"],
            Self::Second => &["2.", "II.", "2º"],
        }
    }

    /// Checks that players read words as a call of these and nothing besides; the error says what was expected.
    pub fn check(self, words: &str) -> Result<(), String> {
        let address = read_address(words);
        let alone = address.filter(|address| address.sure && address.rest == words.len());
        let fits = alone.is_some_and(|address| match (self, address.to) {
            (Self::Both, Addressed::Together(2) | Addressed::All) => true,
            (Self::First, Addressed::Players(players)) => players == [1],
            (Self::Second, Addressed::Players(players)) => players == [2],
            _ => false,
        });
        if fits {
            Ok(())
        } else {
            let (whom, usual) = (self.name(), self.usual().join("\", \""));
            Err(format!(
                "a player does not read `{words}` as a call of {whom} alone; expected words such as \"{usual}\""
            ))
        }
    }
}

/// The call of a player in the way in which `model` calls another: the third is `III.` where the first is `I.`. Nothing
/// where it cannot be formed, as from `primo`.
#[must_use]
pub fn call_like(model: &str, of: u8, player: u8) -> Option<String> {
    let roman = |number: u8| {
        let place = usize::from(number).checked_sub(1)?;
        ROMAN.get(place).map(|roman| roman.to_uppercase())
    };
    let figure = model.replacen(&of.to_string(), &player.to_string(), 1);
    let numeral = || Some(model.replacen(&roman(of)?, &roman(player)?, 1));
    let call = if figure == model && of != player {
        numeral()?
    } else {
        figure
    };
    let read = read_address(&call)?;
    (read.to == Addressed::Players(vec![player])).then_some(call)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_words_that_are_read_so_pass() {
        for called in Called::ALL {
            for words in called.usual() {
                assert_eq!(called.check(words), Ok(()), "{words}");
            }
        }
        for (called, words) in [
            (Called::Both, "a3"),
            (Called::Both, "1."),
            (Called::First, "2."),
            (Called::First, "1. solo"),
            (Called::First, "1"),
            (Called::Second, "a2"),
            (Called::Second, ""),
            (Called::Both, "dolce"),
        ] {
            let error = called.check(words).unwrap_err();
            assert!(error.contains("does not read"), "{error}");
        }
    }

    #[test]
    fn other_players_are_called_in_the_same_way() {
        for (model, of, player, call) in [
            ("1.", 1, 3, Some("3.")),
            ("I.", 1, 4, Some("IV.")),
            ("2º", 2, 4, Some("4º")),
            ("II.", 2, 3, Some("III.")),
            ("1.", 1, 1, Some("1.")),
            ("primo", 1, 3, None),
            ("primo", 1, 1, Some("primo")),
        ] {
            assert_eq!(call_like(model, of, player).as_deref(), call, "{model}");
        }
    }
}
