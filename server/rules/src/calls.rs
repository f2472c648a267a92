//! The words by which a house calls the players of a shared staff.

use std::collections::BTreeMap;

use horn::{Called, call_like};

/// What a house prints where both players of a staff play, or one; the default leaves all words as they are.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct HouseCalls {
    printed: BTreeMap<Called, String>,
}

impl HouseCalls {
    /// Sets what is printed. The error says what was expected.
    pub fn set(&mut self, called: Called, words: String) -> Result<(), String> {
        called.check(&words)?;
        self.printed.insert(called, words);
        Ok(())
    }

    /// What is printed; nothing where the house has no words of its own.
    #[must_use]
    pub fn printed(&self, called: Called) -> Option<&str> {
        self.printed.get(&called).map(String::as_str)
    }

    /// Whether the house has any words of its own.
    pub(crate) fn are_set(&self) -> bool {
        !self.printed.is_empty()
    }

    /// The call of a player by number, from the third on after the first or second.
    pub(crate) fn of_player(&self, player: u8) -> Option<String> {
        let models = [(Called::First, 1), (Called::Second, 2)];
        let own = models.iter().filter(|(_, number)| *number == player);
        let model =
            |(called, number): &(Called, u8)| call_like(self.printed(*called)?, *number, player);
        own.clone()
            .find_map(model)
            .or_else(|| models.iter().find_map(model))
    }

    /// Words as the house prints them, else as most do.
    #[must_use]
    pub fn word(&self, called: Called) -> &str {
        let usual = called.usual().first().copied().unwrap_or_default();
        self.printed(called).unwrap_or(usual)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn players_are_called_in_the_houses_way() {
        let mut calls = HouseCalls::default();
        assert!(!calls.are_set());
        assert_eq!((calls.of_player(1), calls.word(Called::Both)), (None, "a2"));
        assert!(calls.set(Called::First, "2.".to_owned()).is_err());
        calls.set(Called::First, "I.".to_owned()).unwrap();
        calls.set(Called::Second, "2.".to_owned()).unwrap();
        for (player, call) in [(1, "I."), (2, "2."), (3, "III.")] {
            assert_eq!(calls.of_player(player).as_deref(), Some(call));
        }
        assert_eq!(calls.word(Called::First), "I.");
    }
}
