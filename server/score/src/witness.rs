//! What a file says of the instrument a part is for, wherever it says it.

use crate::piece::Text;

/// One thing a file says of what a part is for, and where.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Witness {
    /// In which way it is said.
    pub kind: WitnessKind,
    /// What is said, and where it stands.
    pub text: Text,
}

/// The ways in which a file says it; those that the player reads come first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum WitnessKind {
    /// What is printed in the name's stead.
    DisplayName,
    /// The name on the page.
    Name,
    /// Its short form, before the later lines of the music.
    Abbreviation,
    /// The name of the instrument, which a program's lists show and the page does not.
    Instrument,
    /// The kind of instrument, by a sign for programs.
    Class(Class),
}

/// A kind of instrument, as far as a horn player needs to know.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Class {
    /// A horn.
    Horn,
    /// A horn without valves.
    NaturalHorn,
    /// Anything else.
    Other,
}
