//! One note as it is played, and one mark as it is obeyed.

use std::ops::Range;
use std::sync::Arc;

use horn::{Dynamic, Height, Instruction, Language, Register};
use score::{AlterationFrom, Clef, Span, TrillTo};
use theory::{Quarters, Seconds, SoundingPitch, WrittenPitch};

use crate::players::Players;
use crate::technique::Technique;

/// What marks before a note say of how it is to be heard. Spans count from the start of the piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Marked {
    /// The dynamic in force, and the mark that set it.
    pub dynamic: Option<(Dynamic, Span)>,
    /// Whether it is a solo, and where that is said.
    pub solo: Option<Span>,
}

/// A note with all the player must know to play it. Spans count from the start of the piece.
#[derive(Debug, Clone, PartialEq)]
pub struct PlayedNote {
    /// Where it stands.
    pub span: Span,
    /// Where its accidental, letter and octave stand.
    pub pitch_span: Span,
    /// Its bar's place in the part's list of bars.
    pub bar: usize,
    /// Its bar's number, as a player counts.
    pub number: u32,
    /// Quarter notes from the barline.
    pub offset: Quarters,
    /// Quarter notes from the start of the piece.
    pub onset: Quarters,
    /// Quarter notes.
    pub length: Quarters,
    /// The clef it stands in.
    pub clef: Clef,
    /// The pitch on the page.
    pub written: WrittenPitch,
    /// The pitch in the room, spelled by the crook.
    pub sounding: SoundingPitch,
    /// How high it lies for a player, as a horn in F would read it.
    pub height: Height,
    /// What part of the instrument that is.
    pub register: Register,
    /// Hand, mute, bell and tone; shared with the notes around it that are held alike.
    pub technique: Arc<Technique>,
    /// How loud it is marked, and whether as a solo; shared likewise.
    pub marked: Arc<Marked>,
    /// Seconds from the start of the piece to its attack.
    pub starts: Seconds,
    /// Seconds from the start of the piece to its end.
    pub ends: Seconds,
    /// Seconds played since the last rest, up to its attack.
    pub since_rest: Seconds,
    /// Where its alteration comes from.
    pub alteration_from: AlterationFrom,
    /// A grace note.
    pub grace: bool,
    /// A further note of a chord: on a shared staff, the other player's.
    pub chord: bool,
    /// Held on from the note before.
    pub tied_from: bool,
    /// Held into the next.
    pub tied_to: bool,
    /// Slurred to the next.
    pub slurred_to_next: bool,
    /// A breath mark after it, and where it stands.
    pub breath: Option<Span>,
    /// Held at a fermata.
    pub fermata: bool,
    /// A trill on it: what decides its upper note, and where the sign stands.
    pub trill: Option<Box<(TrillTo, Span)>>,
    /// Which of several lines on the staff it belongs to; 0 on a player's own line.
    pub layer: u8,
    /// Who of the staff's players plays it.
    pub players: Players,
}

impl PlayedNote {
    /// Whether a player breathes after it though no rest follows: at a breath mark, and where the music stands still at a
    /// fermata and nothing leads on (common practice).
    #[must_use]
    pub const fn breathes_after(&self) -> bool {
        self.breath.is_some() || self.fermata && !self.tied_to && !self.slurred_to_next
    }

    /// Whether it is attacked by the main line's player: no tied continuation, chord member or second line.
    #[must_use]
    pub const fn leads(&self) -> bool {
        !self.chord && self.layer == 0
    }
}

/// What a mark says.
#[derive(Debug, Clone, PartialEq)]
pub enum Said {
    /// A sign that holds for its own note: `+` or `o`.
    Sign(Instruction),
    /// A word that holds until another takes it back.
    Word(Instruction),
}

impl Said {
    /// The instruction, by whichever means it is given.
    #[must_use]
    pub const fn instruction(&self) -> &Instruction {
        match self {
            Self::Sign(instruction) | Self::Word(instruction) => instruction,
        }
    }
}

/// A mark the player obeys. Spans count from the start of the piece.
#[derive(Debug, Clone, PartialEq)]
pub struct PlayedMark {
    /// The whole mark, as it can be taken out of the text.
    pub span: Span,
    /// Whether the mark says nothing besides this instruction, so that it can be taken out whole.
    pub alone: bool,
    /// What it says.
    pub said: Said,
    /// The whole text it stands in, where it is words.
    pub words: Option<Arc<str>>,
    /// Where in those words this instruction stands, in bytes.
    pub term: Option<Range<usize>>,
    /// The language of its word, where the word is of one language.
    pub language: Option<Language>,
    /// Its bar's place in the part's list of bars.
    pub bar: usize,
    /// Its bar's number.
    pub number: u32,
    /// Quarter notes from the start of the piece.
    pub onset: Quarters,
    /// Hand, mute, bell and tone before it, the page read straight through.
    pub before: Technique,
    /// The same in those passes of the performance in which hand, mute or bell are otherwise, each way once.
    pub again: Vec<Technique>,
    /// The last note begun before it, by its place in the part's notes.
    pub last_note: Option<usize>,
    /// The first note it holds for, by its place in the part's notes.
    pub next_note: Option<usize>,
}

impl PlayedMark {
    /// Hand, mute, bell and tone before it, in every way that it finds them in the performance.
    pub fn every_before(&self) -> impl Iterator<Item = &Technique> {
        std::iter::once(&self.before).chain(&self.again)
    }
}
