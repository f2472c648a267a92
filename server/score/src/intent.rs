//! Intents: changes said in musical words, which each notation knows how to write.

use theory::{Interval, Key, Quarters, Transposition, WrittenPitch};

use crate::moved::Moved;
use crate::span::Span;
use crate::witness::WitnessKind;

/// A change to the music or its writing.
///
/// Spans name the thing that is changed by where it stands, counted like the finding's own span.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Intent {
    /// Take the key signatures of some parts of one piece out and write every accidental they implied.
    ///
    /// Parts may share a signature; named together, it goes from all of them at once.
    DropKeySignatures {
        /// The parts.
        parts: Vec<PartRef>,
        /// Which courtesy accidentals to add.
        courtesy: Courtesy,
        /// Whether they stand in brackets, where the notation can say so.
        brackets: bool,
    },
    /// Give the part a key signature and take out the accidentals it then implies.
    SetKeySignature {
        /// The part.
        part: PartRef,
        /// The signature, at written pitch.
        key: Key,
    },
    /// Write every note and signature of a part so far away on the page; a part without signature stays without.
    ///
    /// Each stretch may be spelled otherwise, by an interval that sounds the same, where that is easier to read. On its
    /// own it changes what sounds; with another transposition and name recorded it does not.
    RewritePart {
        /// The part.
        part: PartRef,
        /// How far, in the order of time; the first holds from the start.
        ways: Vec<Way>,
    },
    /// Move notes by whole octaves, with all they are tied to.
    MoveOctaves {
        /// The notes.
        notes: Vec<Span>,
        /// Octaves up; negative is down.
        octaves: i8,
    },
    /// Write another pitch in a note's place. Where the page is not the player's own, what stands there moves as far.
    MoveNote {
        /// The note.
        note: Span,
        /// The pitch that its player reads now.
        from: WrittenPitch,
        /// The pitch that its player is to read.
        to: WrittenPitch,
    },
    /// Show a note's accidental on the page, though what stands before it may say it already.
    ShowAccidental {
        /// The note.
        note: Span,
        /// Whether one that only reminds stands in brackets, where the notation can say so.
        brackets: bool,
    },
    /// Put a mark on a note.
    AddMark {
        /// The note.
        note: Span,
        /// The mark.
        mark: NewMark,
    },
    /// Show in a part's rests what another part plays.
    WriteCue {
        /// The part that rests.
        part: PartRef,
        /// What to show.
        cue: NewCue,
    },
    /// Write another mark in a mark's place.
    ReplaceMark {
        /// The mark.
        mark: Span,
        /// What to write.
        with: NewMark,
    },
    /// Take a mark out.
    RemoveMark {
        /// The mark.
        mark: Span,
    },
    /// Record what must be added to the written pitch.
    SetTransposition {
        /// The part.
        part: PartRef,
        /// What to record.
        transposition: Transposition,
    },
    /// Name the part after another horn, and record that horn's transposition.
    SetHorn {
        /// The part.
        part: PartRef,
        /// The whole new name.
        name: String,
        /// What to record.
        transposition: Transposition,
    },
    /// Take out what the part records of transpositions after its start.
    DropLaterTranspositions {
        /// The part.
        part: PartRef,
    },
    /// Write other words where the file says what a part is for, as a short name or a later one.
    SayOfPart {
        /// The part.
        part: PartRef,
        /// In which way it is said.
        kind: WitnessKind,
        /// Where it is said.
        at: Span,
        /// What to say instead.
        words: String,
    },
    /// Name the part.
    NamePart {
        /// The part.
        part: PartRef,
        /// The whole new name.
        name: String,
    },
    /// Tell this tool, in a comment above the line of a place, to keep silent about a rule there.
    IgnoreHere {
        /// The place.
        at: Span,
        /// The rule.
        rule: String,
    },
    /// Tell this tool, in a comment at the top, to keep silent about a rule in the file.
    IgnoreInFile {
        /// The rule.
        rule: String,
    },
    /// Take rules' names out of an instruction to keep silent about them; the last name takes the comment with it.
    DropIgnored {
        /// Where the instruction's words stand.
        at: Span,
        /// The names as written.
        rules: Vec<String>,
    },
    /// Write another rule's name in an instruction to keep silent.
    RenameIgnored {
        /// Where the name stands.
        at: Span,
        /// The other name.
        rule: String,
    },
}

/// How far a part is moved on the page from some moment on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Way {
    /// The moment, in quarter notes from the start of the piece.
    pub from: Quarters,
    /// From the old written pitch to the new.
    pub by: Interval,
}

/// A part of a piece of a score.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct PartRef {
    /// The piece's place in the score.
    pub piece: usize,
    /// The part's place in the piece.
    pub part: usize,
}

/// A mark to be written.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum NewMark {
    /// `+`.
    Plus,
    /// `o`.
    Circle,
    /// Words above the staff.
    Words(String),
    /// Another dynamic in the place of one: `mp`.
    Dynamic(String),
}

/// What another part plays, to be shown in a part's rests.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct NewCue {
    /// When it begins, in quarter notes from the start of the piece.
    pub from: Quarters,
    /// Who plays, in words above the staff.
    pub words: String,
    /// The small notes in the order of time; none where words alone are to stand there.
    pub notes: Vec<CueNote>,
}

/// A small note, or a rest between such.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct CueNote {
    /// The note or rest of the other part that it shows.
    pub shows: Span,
    /// When it begins, in quarter notes from the start of the piece.
    pub onset: Quarters,
    /// Length in quarter notes.
    pub length: Quarters,
    /// The pitch on this part's page; none is a rest.
    pub written: Option<WrittenPitch>,
    /// Held into the next one.
    pub tied_to: bool,
}

/// Which accidentals a house adds that the rules do not demand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Courtesy {
    /// None.
    Never,
    /// One on a note whose line or space was altered otherwise in the bar before.
    #[default]
    NextBar,
    /// One on a note whose letter was altered otherwise in another octave of its bar.
    OtherOctave,
    /// Both.
    Both,
}

impl Courtesy {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::NextBar, Self::OtherOctave, Self::Both, Self::Never];

    /// The word for it in settings.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Never => "never",
            Self::NextBar => "next-bar",
            Self::OtherOctave => "other-octave",
            Self::Both => "both",
        }
    }

    /// Whether a note is reminded of what its line or space was in the bar before.
    #[must_use]
    pub const fn of_bar_before(self) -> bool {
        matches!(self, Self::NextBar | Self::Both)
    }

    /// Whether a note is reminded of what its letter was in another octave.
    #[must_use]
    pub const fn of_other_octave(self) -> bool {
        matches!(self, Self::OtherOctave | Self::Both)
    }
}

impl Intent {
    /// The same change with spans counted from a place `base` bytes earlier, in the piece at `piece`.
    #[must_use]
    pub fn rebased(mut self, base: usize, piece: usize) -> Self {
        for span in self.spans_mut() {
            *span = span.shifted(base);
        }
        for part in self.parts_mut() {
            part.piece = piece;
        }
        self
    }

    /// The same change in a text whose places have moved; `None` where one of its places is not known there.
    #[must_use]
    pub fn moved(mut self, moved: &Moved) -> Option<Self> {
        for span in self.spans_mut() {
            *span = moved.span(*span)?;
        }
        Some(self)
    }

    /// All the places it names.
    fn spans_mut(&mut self) -> Vec<&mut Span> {
        match self {
            Self::DropKeySignatures { .. }
            | Self::SetKeySignature { .. }
            | Self::RewritePart { .. }
            | Self::SetTransposition { .. }
            | Self::SetHorn { .. }
            | Self::DropLaterTranspositions { .. }
            | Self::NamePart { .. }
            | Self::IgnoreInFile { .. } => Vec::new(),
            Self::WriteCue { cue, .. } => {
                cue.notes.iter_mut().map(|note| &mut note.shows).collect()
            }
            Self::MoveOctaves { notes, .. } => notes.iter_mut().collect(),
            Self::SayOfPart { at: span, .. }
            | Self::MoveNote { note: span, .. }
            | Self::ShowAccidental { note: span, .. }
            | Self::AddMark { note: span, .. }
            | Self::ReplaceMark { mark: span, .. }
            | Self::RemoveMark { mark: span }
            | Self::IgnoreHere { at: span, .. }
            | Self::DropIgnored { at: span, .. }
            | Self::RenameIgnored { at: span, .. } => vec![span],
        }
    }

    /// All the parts it names.
    fn parts_mut(&mut self) -> &mut [PartRef] {
        match self {
            Self::DropKeySignatures { parts, .. } => parts,
            Self::SetKeySignature { part, .. }
            | Self::RewritePart { part, .. }
            | Self::SetTransposition { part, .. }
            | Self::SetHorn { part, .. }
            | Self::DropLaterTranspositions { part }
            | Self::NamePart { part, .. }
            | Self::WriteCue { part, .. }
            | Self::SayOfPart { part, .. } => std::slice::from_mut(part),
            Self::MoveOctaves { .. }
            | Self::MoveNote { .. }
            | Self::ShowAccidental { .. }
            | Self::AddMark { .. }
            | Self::ReplaceMark { .. }
            | Self::RemoveMark { .. }
            | Self::IgnoreHere { .. }
            | Self::IgnoreInFile { .. }
            | Self::DropIgnored { .. }
            | Self::RenameIgnored { .. } => &mut [],
        }
    }

    /// The notes whose pitch the change means to alter; empty for changes of writing only.
    #[must_use]
    pub fn moved_notes(&self) -> &[Span] {
        match self {
            Self::MoveOctaves { notes, .. } => notes,
            Self::MoveNote { note, .. } => std::slice::from_ref(note),
            _ => &[],
        }
    }
}
