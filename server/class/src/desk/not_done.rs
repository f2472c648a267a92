//! Why something is not done for a desk, in words for whoever sits there.

use thiserror::Error;

/// Why something is not done.
#[derive(Debug, Error)]
pub(crate) enum NotDone {
    /// The code is not the day's.
    #[error("That is not the code of the day; look at the board once more.")]
    WrongCode,
    /// The name is taken, and the desk's word was not said.
    #[error(
        "Somebody is at the desk as {0} already. If that is you, type the word that is shown at your desk; if not, come \
         in with another name, or ask your teacher."
    )]
    WrongWord(String),
    /// There is nothing in the name that a folder can be called by.
    #[error("Type a name with at least one letter or digit, and not longer than 60 letters.")]
    NoName,
    /// Too many tries.
    #[error("That was tried too often; wait a minute and try again.")]
    TooOften,
    /// Something is full.
    #[error("{0}")]
    TooMany(&'static str),
    /// A text is larger than a piece.
    #[error("This is larger than a piece is taken to be, {0} kB; it is not kept here.")]
    TooLarge(usize),
    /// Something that a desk's page does not say.
    #[error("{0}")]
    Odd(&'static str),
    /// There is no such piece.
    #[error("There is no such piece at this desk.")]
    Absent,
    /// The system refused.
    #[error("This machine could not do it: {0}")]
    Failed(#[from] std::io::Error),
}

/// Why a text is not kept.
#[derive(Debug)]
pub(crate) enum NotSaved {
    /// Another has been kept meanwhile.
    Other {
        /// What is kept now.
        text: String,
        /// Its tag.
        tag: String,
    },
    /// It could not be.
    NotDone(NotDone),
}

impl From<NotDone> for NotSaved {
    fn from(why: NotDone) -> Self {
        Self::NotDone(why)
    }
}
