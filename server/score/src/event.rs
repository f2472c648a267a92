//! What stands in a bar: notes, rests, marks and changes, as written.

use theory::{
    Alteration, Key, Meter, Quarters, SoundingPitch, Tempo, TempoSource, Transposition,
    WrittenPitch,
};

use crate::clef::Clef;
use crate::piece::Text;
use crate::route::Route;
use crate::span::Span;
use crate::witness::WitnessKind;

/// One thing at one place of a bar.
#[derive(Debug, Clone, PartialEq)]
pub struct Event {
    /// When it happens, in quarter notes from the start of its bar.
    pub offset: Quarters,
    /// Where it stands, from the start of its run.
    pub span: Span,
    /// What it is.
    pub kind: EventKind,
}

/// The kinds of thing a bar holds.
#[derive(Debug, Clone, PartialEq)]
pub enum EventKind {
    /// A note, or one note of a chord.
    Note(Note),
    /// A rest.
    Rest(Rest),
    /// A small note, or a rest between such, that shows what another part plays; to this part's player it is silence.
    Cue(Cue),
    /// A word or sign that tells the player something; it applies from its offset on.
    Mark(Mark),
    /// A key signature, at written pitch.
    Key(Key),
    /// A metre; `None` is free time.
    Meter(Option<Meter>),
    /// A tempo.
    Tempo(TempoMark),
    /// What is added to written pitch from here on, as the file records it.
    Transposition(Transposition),
    /// A clef.
    Clef(Clef),
    /// What the file says from here on of what the part is for; the event's span is where it says so.
    Witness(WitnessKind, String),
    /// A section's label (`A`, `Trio`).
    Section(String),
    /// A sign of the way through the piece (D.C., Fine, Coda).
    Route(Route),
    /// A new page begins here.
    PageBreak,
}

/// A written note.
#[derive(Debug, Clone, PartialEq)]
pub struct Note {
    /// The pitch on the page, with whatever alteration is in force.
    pub written: WrittenPitch,
    /// The pitch in the room, where the file's notes say that and not the page.
    pub sounding: Option<SoundingPitch>,
    /// Length in quarter notes; a grace note takes none.
    pub length: Quarters,
    /// Where the alteration comes from.
    pub alteration_from: AlterationFrom,
    /// The pitch itself in the text (accidental, letter and octave), from the start of the run.
    pub pitch_span: Span,
    /// Held on from the note before.
    pub tied_from: bool,
    /// Held into the next note of this pitch.
    pub tied_to: bool,
    /// A grace note.
    pub grace: bool,
    /// A further note of a chord whose first note is the event before.
    pub chord: bool,
    /// Inside a slur that goes on to the next note.
    pub slurred_to_next: bool,
    /// Which of several lines in one bar it belongs to, the main one being 0.
    pub layer: u8,
}

/// Why a note is altered, or not.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum AlterationFrom {
    /// An accidental stands at the note.
    Accidental,
    /// An accidental earlier in the bar.
    Bar,
    /// The key signature.
    Key,
    /// The note it is tied from.
    Tie,
    /// Nothing alters it.
    Nothing,
}

/// A rest.
#[derive(Debug, Clone, PartialEq)]
pub struct Rest {
    /// Length in quarter notes.
    pub length: Quarters,
    /// Whether it is printed.
    pub visible: bool,
    /// Whether it fills whole bars.
    pub whole_bar: bool,
    /// Which of several lines in one bar it belongs to.
    pub layer: u8,
}

/// A small note that another part plays, or a rest between such.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cue {
    /// The pitch on the page; none is a rest.
    pub written: Option<WrittenPitch>,
    /// Length in quarter notes.
    pub length: Quarters,
    /// Whether an accidental stands at it.
    pub signed: bool,
    /// Held into the next small note of this pitch.
    pub tied_to: bool,
}

/// A word or sign.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// What it is.
    pub kind: MarkKind,
    /// Whether it belongs to the next note alone, as signs do, or to the place.
    pub on_note: bool,
}

/// The kinds of mark.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum MarkKind {
    /// Words over or under the staff, as they stand, and where within the mark they stand (from the run).
    Words(Text),
    /// A sign.
    Sign(Sign),
    /// A dynamic by its usual letters (`pp`, `sfz`).
    Dynamic(String),
    /// Getting louder (`true`) or softer from here.
    HairpinStart(bool),
    /// The hairpin ends after this note.
    HairpinEnd,
}

/// Signs that matter to a player.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Sign {
    /// `+`: stopped.
    Plus,
    /// `o`: open.
    Circle,
    /// A line or slide that leads from this note to the next, or up into it.
    Glissando,
    /// A breath mark.
    Breath,
    /// A fermata.
    Fermata,
    /// A trill, and what decides its upper note.
    Trill(TrillTo),
    /// Any other, by its name in the notation.
    Other(String),
}

/// What decides the upper note of a trill.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum TrillTo {
    /// The key: the next note up in it.
    #[default]
    Key,
    /// An accidental of its own, on the next letter up.
    Accidental(Alteration),
    /// An interval in semitones.
    Semitones(i8),
}

/// A tempo as it is marked.
#[derive(Debug, Clone, PartialEq)]
pub struct TempoMark {
    /// The words, if any.
    pub words: Option<String>,
    /// The speed, when a number says it.
    pub tempo: Option<Tempo>,
}

impl TempoMark {
    /// Where its speed comes from, given that words without a number were looked up.
    #[must_use]
    pub const fn source(&self) -> TempoSource {
        if self.tempo.is_some() {
            TempoSource::Marked
        } else {
            TempoSource::Word
        }
    }
}
