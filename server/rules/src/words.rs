//! The words a house prints for hand, mute and bell.

use std::collections::BTreeMap;

use horn::{Language, Wording};
use reading::HornPart;

/// In which language a house prints its words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HouseLanguage {
    /// That of each part.
    Part,
    /// One language in all parts.
    Only(Language),
}

/// What a house prints; the default leaves all words as they are.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct HouseWords {
    language: Option<HouseLanguage>,
    printed: BTreeMap<Wording, Vec<String>>,
}

/// A sign that may stand in the place of words.
pub(crate) fn is_sign(words: &str) -> bool {
    matches!(words, "+" | "o")
}

impl HouseWords {
    /// Sets the language.
    pub const fn set_language(&mut self, language: HouseLanguage) {
        self.language = Some(language);
    }

    /// Sets what is printed: the first is written, the others pass. The error says what the first word means that it
    /// must not, or that there is none.
    pub fn set_printed(&mut self, wording: Wording, words: Vec<String>) -> Result<(), String> {
        if words.is_empty() {
            return Err(format!("expected words for `{}`", wording.name()));
        }
        for one in &words {
            let terms = horn::read_words(one);
            let [term] = terms.as_slice() else {
                return Err(format!(
                    "a player does not read `{one}` as one instruction; expected words such as \"{}\"",
                    wording.printed(Language::Italian)
                ));
            };
            if Wording::of(&term.instruction) != Some(wording) {
                let other = Wording::of(&term.instruction).map_or("something else", Wording::name);
                return Err(format!(
                    "a player reads `{one}` as {other}, not as {}",
                    wording.name()
                ));
            }
        }
        self.printed.insert(wording, words);
        Ok(())
    }

    /// Whether the house asks for certain words or a certain language at all.
    pub(crate) fn are_set(&self) -> bool {
        !self.printed.is_empty() || matches!(self.language, Some(HouseLanguage::Only(_)))
    }

    /// What passes, the first being what is written; nothing where the house has no words of its own for it.
    #[must_use]
    pub fn printed(&self, wording: Wording) -> Option<&[String]> {
        self.printed.get(&wording).map(Vec::as_slice)
    }

    /// The language that is set, or that of each part.
    #[must_use]
    pub fn language(&self) -> HouseLanguage {
        self.language.unwrap_or(HouseLanguage::Part)
    }

    /// The one language in which the house prints.
    #[must_use]
    pub const fn only(&self) -> Option<Language> {
        match self.language {
            Some(HouseLanguage::Only(language)) => Some(language),
            _ => None,
        }
    }

    /// The words to write in a part: the house's own, else in the language of a mark, else in that of the part.
    #[must_use]
    pub fn word_in(&self, part: &HornPart, wording: Wording, spoken: Option<Language>) -> String {
        let spoken = spoken.or(if wording.is_of_mute() {
            // English parts have the Italian words for the mute more often than their own.
            let other = part
                .language
                .filter(|language| *language != Language::English);
            part.mute_language.or(other)
        } else {
            part.language
        });
        self.word(wording, spoken)
    }

    /// The words to write: the house's own, else in its language, else in the language of what stands there.
    #[must_use]
    pub fn word(&self, wording: Wording, spoken: Option<Language>) -> String {
        let own = self.printed(wording).into_iter().flatten();
        let mut own = own.filter(|words| !is_sign(words));
        own.next().cloned().unwrap_or_else(|| {
            let language = self.only().or(spoken);
            let usual = usual(wording);
            wording.printed(language.unwrap_or(usual)).to_owned()
        })
    }
}

/// The language that is written where nothing says another: Italian for the mute, as most parts have it, else English.
const fn usual(wording: Wording) -> Language {
    match wording {
        Wording::MuteIn | Wording::MuteOut => Language::Italian,
        _ => Language::English,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_must_mean_what_they_are_set_for() {
        let mut words = HouseWords::default();
        let list = |words: &[&str]| {
            words
                .iter()
                .map(|one| (*one).to_owned())
                .collect::<Vec<_>>()
        };
        assert_eq!(
            words.set_printed(Wording::Stopped, list(&["gest.", "+"])),
            Ok(())
        );
        assert_eq!(words.word(Wording::Stopped, None), "gest.");
        for (wording, given, said) in [
            (
                Wording::MuteIn,
                list(&["senza sord."]),
                "as mute-out, not as mute-in",
            ),
            (Wording::Open, list(&["dolce"]), "not read `dolce`"),
            (Wording::Open, list(&["flutter"]), "as something else"),
            (Wording::Open, list(&[]), "expected words"),
        ] {
            let error = words.set_printed(wording, given).unwrap_err();
            assert!(error.contains(said), "{error}");
        }
    }

    #[test]
    fn the_house_comes_before_what_stands_there() {
        let mut words = HouseWords::default();
        assert_eq!(words.word(Wording::MuteOut, None), "senza sord.");
        assert_eq!(words.word(Wording::Open, None), "open");
        assert_eq!(words.word(Wording::Open, Some(Language::German)), "offen");
        assert!(!words.are_set());
        words.set_language(HouseLanguage::Part);
        assert!(!words.are_set());
        words.set_language(HouseLanguage::Only(Language::French));
        assert!(words.are_set());
        assert_eq!(words.word(Wording::Open, Some(Language::German)), "ouvert");
        // A sign cannot stand where words are written.
        words
            .set_printed(Wording::Open, vec!["o".to_owned()])
            .unwrap();
        assert_eq!(words.word(Wording::Open, Some(Language::German)), "ouvert");
    }
}
