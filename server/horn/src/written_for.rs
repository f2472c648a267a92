//! What a part is written for: a horn of some crook, or nobody's transposition at all.

use std::fmt;
use std::str::FromStr;

use theory::Transposition;

use crate::crook::Crook;
use crate::crook_name::{CrookName, read_crook};

/// What a part is to be written for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum WrittenFor {
    /// A horn with this crook.
    Crook(Crook),
    /// Concert pitch: the page shows what sounds.
    ConcertPitch,
}

impl WrittenFor {
    /// Concert pitch, and every crook, high to low. C alto is left out, as on its page stands what sounds.
    pub const ALL: [Self; 16] = [
        Self::ConcertPitch,
        Self::Crook(Crook::BFlatAlto),
        Self::Crook(Crook::A),
        Self::Crook(Crook::AFlat),
        Self::Crook(Crook::G),
        Self::Crook(Crook::FSharp),
        Self::Crook(Crook::F),
        Self::Crook(Crook::E),
        Self::Crook(Crook::EFlat),
        Self::Crook(Crook::D),
        Self::Crook(Crook::DFlat),
        Self::Crook(Crook::CBasso),
        Self::Crook(Crook::BBasso),
        Self::Crook(Crook::BFlatBasso),
        Self::Crook(Crook::ABasso),
        Self::Crook(Crook::AFlatBasso),
    ];

    /// What is added to a written note to get its sound.
    #[must_use]
    pub const fn transposition(self) -> Transposition {
        match self {
            Self::Crook(crook) => crook.transposition(),
            Self::ConcertPitch => Transposition::CONCERT,
        }
    }

    /// How a part is written, after "written": `for horn in E flat`, `at concert pitch`.
    #[must_use]
    pub fn phrase(self) -> String {
        match self {
            Self::Crook(crook) => format!("for {}", crook.label()),
            Self::ConcertPitch => "at concert pitch".to_owned(),
        }
    }

    /// The crook that sounds like it.
    #[must_use]
    pub const fn crook(self) -> Crook {
        match self {
            Self::Crook(crook) => crook,
            Self::ConcertPitch => Crook::CAlto,
        }
    }
}

impl fmt::Display for WrittenFor {
    /// In words: `horn in E flat`, `concert pitch`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Crook(crook) => f.write_str(&crook.label()),
            Self::ConcertPitch => f.write_str("concert pitch"),
        }
    }
}

/// Words that are no crook's, or more than one crook's.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WrittenForError {
    /// The words.
    words: String,
    /// The crooks that they may mean; none when they mean nothing.
    choices: &'static [Crook],
}

impl fmt::Display for WrittenForError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let words = &self.words;
        if self.choices.is_empty() {
            return write!(
                f,
                "`{words}` is not a crook; write \"horn in F\", \"E flat\", \"B flat basso\" and the like, or concert"
            );
        }
        // "B" is B flat to some readers, so the other one is called by a name that nobody mistakes.
        let names: Vec<String> = self
            .choices
            .iter()
            .map(|crook| match read_crook(crook.name()) {
                CrookName::Ambiguous(_) => crook.name().replacen("B ", "B natural ", 1),
                _ => crook.name().to_owned(),
            })
            .collect();
        write!(f, "`{words}` can be {}; say which", names.join(" or "))
    }
}

impl std::error::Error for WrittenForError {}

impl FromStr for WrittenFor {
    type Err = WrittenForError;

    /// Reads `horn in F`, `E flat`, `concert`, `concert pitch`.
    fn from_str(words: &str) -> Result<Self, Self::Err> {
        let plain = words.trim().to_lowercase();
        if matches!(plain.as_str(), "concert" | "concert pitch") {
            return Ok(Self::ConcertPitch);
        }
        let refused = |choices| WrittenForError {
            words: words.to_owned(),
            choices,
        };
        match read_crook(words) {
            CrookName::Named(crook) => Ok(Self::Crook(crook)),
            CrookName::Ambiguous(choices) => Err(refused(choices)),
            CrookName::Unnamed => Err(refused(&[])),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_said_is_read_back() {
        for target in WrittenFor::ALL {
            let said = match target {
                // Half the world reads "B basso" as B flat.
                WrittenFor::Crook(Crook::BBasso) => "horn in B natural basso".to_owned(),
                _ => target.to_string(),
            };
            assert_eq!(said.parse(), Ok(target), "{said}");
            assert_eq!(target.crook().transposition(), target.transposition());
        }
        assert_eq!("CONCERT".parse(), Ok(WrittenFor::ConcertPitch));
        assert_eq!("in Es".parse(), Ok(WrittenFor::Crook(Crook::EFlat)));
    }

    #[test]
    fn what_is_unclear_is_refused_with_what_may_be_meant() {
        let said = |words: &str| words.parse::<WrittenFor>().unwrap_err().to_string();
        assert!(said("B basso").contains("B natural basso or B flat basso; say which"));
        assert!(said("C").contains("C alto or C basso"));
        assert!(said("H flat").contains("is not a crook"));
    }
}
