//! What the notes of a page stand for: what the player reads, or what sounds.

/// What the notes of a part's page stand for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum PagePitch {
    /// What the player reads, from which the instrument's transposition leads to the sound.
    #[default]
    Written,
    /// What sounds, as in a score at concert pitch; the player's part is made from it.
    Sounding,
}

impl PagePitch {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Written, Self::Sounding];

    /// The word for it: `written`, `sounding`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Written => "written",
            Self::Sounding => "sounding",
        }
    }

    /// The one that a word names, whatever the case of its letters.
    #[must_use]
    pub fn of(word: &str) -> Option<Self> {
        let named = |one: &Self| one.name().eq_ignore_ascii_case(word);
        Self::ALL.into_iter().find(named)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_read_back() {
        for pitch in PagePitch::ALL {
            assert_eq!(PagePitch::of(pitch.name()), Some(pitch));
        }
        assert_eq!(PagePitch::of("Sounding"), Some(PagePitch::Sounding));
        assert_eq!(PagePitch::of("concert"), None);
    }
}
