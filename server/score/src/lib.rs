//! The one model every notation is read into, each thing with its span, and intents: edits said in musical words.

mod bar;
pub mod bounds;
mod clef;
mod directive;
mod event;
mod intent;
mod kinds;
mod moved;
mod order;
mod performance;
mod piece;
mod route;
mod row;
mod span;
mod witness;

pub use bar::{Bar, Barline, Placed, Run, RunBody, Runs};
pub use clef::{Clef, ClefKind};
pub use directive::{Directive, DirectiveKind, Expect, IgnoredRule, PartSelector, parse_directive};
pub use event::{
    AlterationFrom, Cue, Event, EventKind, Mark, MarkKind, Note, Rest, Sign, TempoMark, TrillTo,
};
pub use intent::{Courtesy, CueNote, Intent, NewCue, NewMark, PartRef, Way};
pub use kinds::Kinds;
pub use moved::Moved;
pub use order::Order;
pub use performance::{Performance, Undecided};
pub use piece::{Cues, Lost, Part, Piece, PlacedPiece, Score, Text, Unreadable, hold_unreadable};
pub use route::{Jump, Route, Until};
pub use row::{Looking, Row, looked_at};
pub use span::Span;
pub use witness::{Class, Witness, WitnessKind};
