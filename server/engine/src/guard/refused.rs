//! Why a fix is not applied.

use std::fmt;

/// Why a fix is not applied.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Refused {
    /// The notation cannot say it, or there is nothing to do: in words that can follow "not applied:".
    Impossible(String),
    /// Pieces would come or go.
    Pieces,
    /// Parts would come or go.
    Parts,
    /// Another part would be taken for a horn, or a horn's for another's.
    Horns,
    /// What can be read now could not be read afterwards.
    Unreadable,
    /// Bars would move or change their length.
    Bars {
        /// The part.
        part: String,
    },
    /// The part would have another number of notes.
    Notes {
        /// The part.
        part: String,
    },
    /// A note would sound otherwise than it should.
    Sound {
        /// The part.
        part: String,
        /// The bar's number.
        bar: u32,
        /// The note as it is written.
        note: String,
        /// What it would sound as.
        sounds: String,
        /// What it should sound as.
        wanted: String,
    },
    /// A note would be played otherwise: hand, mute, dynamic, or by another player.
    Played {
        /// The part.
        part: String,
        /// The bar's number.
        bar: u32,
        /// The note as it is written.
        note: String,
        /// What of it.
        what: &'static str,
    },
    /// Something on the page would change that is not meant.
    Page {
        /// The part.
        part: String,
        /// The bar's number.
        bar: u32,
        /// What it is.
        what: &'static str,
    },
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Impossible(why) => f.write_str(why),
            Self::Pieces => f.write_str("the number of pieces would change"),
            Self::Parts => f.write_str("the number of parts would change"),
            Self::Horns => f.write_str("another part would be taken for a horn"),
            Self::Unreadable => f.write_str("the text would no longer be readable"),
            Self::Bars { part } => write!(f, "bars of {part} would change their length"),
            Self::Notes { part } => write!(f, "the number of notes in {part} would change"),
            Self::Sound {
                part,
                bar,
                note,
                sounds,
                wanted,
            } => write!(
                f,
                "{note} in bar {bar} of {part} would sound as {sounds} instead of {wanted}"
            ),
            Self::Played {
                part,
                bar,
                note,
                what,
            } => write!(
                f,
                "{note} in bar {bar} of {part} would be played otherwise ({what})"
            ),
            Self::Page { part, bar, what } => write!(
                f,
                "{what} in bar {bar} of {part}, which is not meant, would change"
            ),
        }
    }
}

impl std::error::Error for Refused {}

/// A refusal in words of its own.
pub(crate) fn refused(why: impl Into<String>) -> Refused {
    Refused::Impossible(why.into())
}
