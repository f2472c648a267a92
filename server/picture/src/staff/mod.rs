//! What a part's staff shows, bar by bar: chords, rests, accidentals, beams, and what stands around them.

pub(crate) mod accidentals;
pub(crate) mod beams;
pub(crate) mod clefs;
mod directions;
pub(crate) mod gather;
mod gathered;
pub(crate) mod slurs;
pub(crate) mod tuplets;

use score::{Clef, Sign};
use theory::{Key, Meter, Quarters};

use crate::value::Value;

/// What stands at the start of a line or before a chord, where it changes.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Change {
    pub(crate) clef: Option<Clef>,
    /// The new signature and the one before it.
    pub(crate) key: Option<(Key, Key)>,
    pub(crate) meter: Option<Meter>,
}

impl Change {
    pub(crate) const fn is_none(&self) -> bool {
        self.clef.is_none() && self.key.is_none() && self.meter.is_none()
    }
}

/// A head on the staff.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Head {
    /// The note of the part, by its place; `None` where the part's player does not play it.
    pub(crate) note: Option<usize>,
    /// Steps above the staff's middle line.
    pub(crate) line: i32,
    /// Diatonic steps above C0, and the alteration in semitones.
    pub(crate) pitch: (i32, i8),
    /// An accidental stands at the note in the score.
    pub(crate) marked: bool,
    /// The accidental that is drawn.
    pub(crate) accidental: Option<i8>,
    /// Held on from a head before, so that no accidental is needed.
    pub(crate) tied_from: bool,
    /// Held into the next head.
    pub(crate) tied_to: bool,
    /// The first head of its note: a length that no one value says takes several.
    pub(crate) first: bool,
}

/// What a chord is besides its heads.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Sounding {
    /// Its heads sound.
    Notes,
    /// A rest; whether it fills the bar.
    Rest { whole_bar: bool },
    /// A rest that is not printed.
    Nothing,
}

/// Notes on one stem, or a rest.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Chord<'a> {
    /// The line on the staff it belongs to, the upper one being 0.
    pub(crate) layer: u8,
    pub(crate) sounding: Sounding,
    /// The heads, from the lowest up.
    pub(crate) heads: Vec<Head>,
    /// What head, flags and dots say; `None` where no value says so long or so short a time.
    pub(crate) value: Option<Value>,
    /// How long it lasts, in quarter notes.
    pub(crate) length: Quarters,
    /// Small notes before it, each a chord of its own.
    pub(crate) graces: Vec<Vec<Head>>,
    /// Signs at it.
    pub(crate) signs: Vec<&'a Sign>,
    /// A breath is marked behind it.
    pub(crate) breath: bool,
    /// Slurred to the next chord of its layer.
    pub(crate) slurred: bool,
}

impl Chord<'_> {
    pub(crate) const fn is_rest(&self) -> bool {
        self.heads.is_empty()
    }

    /// Steps above the middle line of its lowest and highest head.
    pub(crate) fn reach(&self) -> Option<(i32, i32)> {
        Some((self.heads.first()?.line, self.heads.last()?.line))
    }
}

/// What begins at one moment.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Column<'a> {
    /// Quarter notes from the barline.
    pub(crate) offset: Quarters,
    pub(crate) change: Change,
    pub(crate) chords: Vec<Chord<'a>>,
    /// What another part plays, shown small.
    pub(crate) cues: Vec<Small>,
    /// The clef its notes stand in on the page.
    pub(crate) read_in: Option<Clef>,
}

/// A small note that another part plays, or a rest between such.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Small {
    /// Diatonic steps above C0; none is a rest.
    pub(crate) steps: Option<i32>,
    /// Steps above the staff's middle line.
    pub(crate) line: i32,
    pub(crate) accidental: Option<i8>,
    pub(crate) value: Option<Value>,
}

/// Words and signs that stand at a place of the bar and not at a note.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Direction<'a> {
    /// Quarter notes from the barline.
    pub(crate) offset: Quarters,
    pub(crate) says: Says<'a>,
}

/// What a direction says.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Says<'a> {
    /// Words to the player.
    Words(&'a str),
    /// A tempo in words and numbers.
    Tempo(String),
    /// The label of a section.
    Section(&'a str),
    Dynamic(&'a str),
    /// A hairpin begins, growing or not.
    Hairpin(bool),
    /// It ends behind the next note.
    HairpinEnd,
}

/// What closes a bar.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Close {
    #[default]
    Single,
    Double,
    Final,
    Repeat,
}

/// A place in a measure: column and chord.
pub(crate) type Slot = (usize, usize);

/// A bar, or several bars of rest drawn together.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Measure<'a> {
    /// The number a player finds it by.
    pub(crate) number: u32,
    /// Quarter notes from the start of the piece.
    pub(crate) onset: Quarters,
    /// Quarter notes, of all its bars.
    pub(crate) length: Quarters,
    /// How many bars it stands for.
    pub(crate) bars: u32,
    pub(crate) meter: Option<Meter>,
    pub(crate) columns: Vec<Column<'a>>,
    /// Chords that share beams, each group in order.
    pub(crate) beams: Vec<Vec<Slot>>,
    /// Chords that share a tuplet's number, each with it.
    pub(crate) tuplets: Vec<(i64, Vec<Slot>)>,
    pub(crate) directions: Vec<Direction<'a>>,
    /// A repeated stretch begins here.
    pub(crate) repeat_start: bool,
    pub(crate) close: Close,
    /// The ending that begins here, as it is written.
    pub(crate) ending: Option<&'a str>,
    /// Whether an ending that holds here ends with this bar.
    pub(crate) ending_ends: bool,
    /// Whether an ending that began before still holds.
    pub(crate) in_ending: bool,
    /// Whether a hairpin that began before still goes on, and whether it grows.
    pub(crate) in_hairpin: Option<bool>,
}

impl<'a> Measure<'a> {
    pub(crate) fn chord(&self, (column, chord): Slot) -> Option<&Chord<'a>> {
        self.columns.get(column)?.chords.get(chord)
    }

    /// Whether several lines share the staff here.
    pub(crate) fn is_shared(&self) -> bool {
        let printed = |chord: &Chord<'_>| chord.layer > 0 && chord.sounding != Sounding::Nothing;
        let mut chords = self.columns.iter().flat_map(|column| &column.chords);
        chords.any(printed)
    }

    /// Steps above the middle line of the lowest small note in the bar.
    pub(crate) fn lowest_cue(&self) -> Option<i32> {
        let cues = self.columns.iter().flat_map(|column| &column.cues);
        cues.map(|cue| cue.line).min()
    }

    /// Every chord, by layer and time, with its place.
    pub(crate) fn by_layer(&self) -> Vec<(Slot, Quarters, &Chord<'a>)> {
        let columns = self.columns.iter().enumerate();
        let mut all: Vec<_> = columns
            .flat_map(|(place, column)| {
                let chords = column.chords.iter().enumerate();
                chords.map(move |(chord, it)| ((place, chord), column.offset, it))
            })
            .collect();
        all.sort_by_key(|(slot, _, chord)| (chord.layer, *slot));
        all
    }
}
