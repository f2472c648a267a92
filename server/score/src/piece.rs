//! Scores, pieces and parts.

use std::sync::Arc;

use theory::{Key, Meter, PagePitch, Quarters, Transposition};

use crate::bar::{Bar, Barline, Placed};
use crate::bounds::MOST_UNREADABLE;
use crate::clef::Clef;
use crate::directive::Directive;
use crate::event::TempoMark;
use crate::kinds::Kinds;
use crate::order::Order;
use crate::row::look_at;
use crate::span::Span;
use crate::witness::{Witness, WitnessKind};

/// All that one document holds.
#[derive(Debug, Clone, Default)]
pub struct Score {
    /// The pieces in order; an ABC file may hold many.
    pub pieces: Vec<PlacedPiece>,
    /// Instructions to this tool that hold for the whole file, spans from the start of the document.
    pub directives: Vec<Directive>,
    /// What could not be read outside any piece, spans from the start of the document.
    pub unreadable: Vec<Unreadable>,
}

impl Score {
    /// All instructions, those of the whole file first, each with where its words stand in the document.
    pub fn all_directives(&self) -> impl Iterator<Item = (Span, &Directive)> {
        let of_file = self.directives.iter().map(|directive| (0, directive));
        let of_pieces = self.pieces.iter().flat_map(|placed| {
            let directives = placed.piece.directives.iter();
            directives.map(|directive| (placed.base, directive))
        });
        let all = of_file.chain(of_pieces);
        all.map(|(base, directive)| (directive.span.shifted(base), directive))
    }
}

/// A piece and where it begins.
#[derive(Debug, Clone)]
pub struct PlacedPiece {
    /// Where it begins, in bytes from the start of the document.
    pub base: usize,
    /// The piece; shared between readings while its text stays the same.
    pub piece: Arc<Piece>,
}

/// One piece: its parts in score order. All spans within are counted from its start.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Piece {
    /// Its title.
    pub title: Option<Text>,
    /// What its movement is called, where that stands besides the title.
    pub movement: Option<Text>,
    /// Its composer.
    pub composer: Option<Text>,
    /// The text it covers.
    pub span: Span,
    /// The tempo at the start, if marked before the first note.
    pub tempo: Option<(TempoMark, Span)>,
    /// The order of its sections, where its head gives one.
    pub order: Option<Order>,
    /// The parts, in the order of the score.
    pub parts: Vec<Part>,
    /// Instructions to this tool.
    pub directives: Vec<Directive>,
    /// What could not be read.
    pub unreadable: Vec<Unreadable>,
}

impl Piece {
    /// How many bars it has, those of all parts counted together.
    #[must_use]
    pub fn bar_count(&self) -> usize {
        self.parts.iter().map(|part| part.bars.len()).sum()
    }
}

/// How a notation can show in a part's rests what another part plays.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Cues {
    /// In words at a rest of its own.
    #[default]
    AtRests,
    /// In words, also in the middle of one sign for many bars of rest.
    WithinRests,
    /// In small notes too.
    SmallNotes,
}

/// What one player, or several on one staff, read.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Part {
    /// The notation's own name for it (`1`, `P2`, a spine number).
    pub id: String,
    /// The name on the page.
    pub name: Option<Text>,
    /// All that the file says at the start of what the part is for, its name among it.
    pub witnesses: Vec<Witness>,
    /// Where the part is declared: the place to speak of the part as a whole.
    pub head: Span,
    /// The key signature at the start, and where it stands.
    pub key: Option<(Key, Span)>,
    /// The clef at the start; treble when nothing says.
    pub clef: Option<Clef>,
    /// The metre at the start.
    pub meter: Option<Meter>,
    /// What the file says is added to written pitch at the start, and where it says so.
    pub transposition: Option<(Transposition, Span)>,
    /// Whether the steps of that transposition are the file's own, or only its semitones are.
    pub transposition_spelled: bool,
    /// Whether the notes in the file are what sounds, so that another transposition would print other notes and leave
    /// the sound.
    pub notes_sound: bool,
    /// How its notation can show in a rest what another part plays.
    pub cues: Cues,
    /// What the notes of its page stand for, where the notation or the file leaves no choice.
    pub pitch: Option<PagePitch>,
    /// The barline before the first bar, where there is one.
    pub opening: Option<Barline>,
    /// The bars.
    pub bars: Vec<Bar>,
}

impl Part {
    /// What is said in one way at the start, in the order of the text.
    pub fn said(&self, kind: WitnessKind) -> impl Iterator<Item = &Text> {
        self.witnesses
            .iter()
            .filter(move |witness| witness.kind == kind)
            .map(|witness| &witness.text)
    }

    /// The bar in which a moment lies, with its place; the last one's for what comes after all.
    #[must_use]
    pub fn bar_at(&self, moment: Quarters) -> Option<(usize, &Bar)> {
        let after = self.bars.partition_point(|bar| bar.onset <= moment);
        let place = after.checked_sub(1)?;
        Some((place, self.bars.get(place)?))
    }

    /// All events in order, placed.
    pub fn events(&self) -> impl Iterator<Item = Placed<'_>> {
        self.bars
            .iter()
            .enumerate()
            .flat_map(|(index, bar)| bar.events(index))
            .inspect(|_| look_at(1))
    }

    /// The events of some kinds in order, placed, each with its place among all events of the part. Runs that hold none
    /// of them are passed over.
    pub fn placed_of(&self, kinds: Kinds) -> impl Iterator<Item = (usize, Placed<'_>)> {
        let mut passed = 0;
        let runs = self.bars.iter().enumerate().flat_map(|(index, bar)| {
            let runs = bar.runs.iter();
            runs.map(move |run| (index, bar, run))
        });
        let placed = runs.map(move |(index, bar, run)| {
            let first = passed;
            passed += run.body.events.len();
            (first, index, bar, run)
        });
        placed
            .filter(move |(.., run)| run.body.holds().meets(kinds))
            .flat_map(|(first, index, bar, run)| {
                let events = run.body.events.iter().enumerate();
                events.map(move |(place, event)| {
                    let onset = bar.onset + event.offset;
                    let placed = Placed {
                        event,
                        bar: index,
                        onset,
                        base: run.base,
                    };
                    (first + place, placed)
                })
            })
            .inspect(|_| look_at(1))
            .filter(move |(_, placed)| Kinds::of(placed.event).meets(kinds))
    }

    /// The events of some kinds in order, placed. Runs that hold none of them are passed over.
    pub fn events_of(&self, kinds: Kinds) -> impl Iterator<Item = Placed<'_>> {
        self.placed_of(kinds).map(|(_, placed)| placed)
    }
}

/// A text and where it stands.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Text {
    /// The text, escapes resolved.
    pub text: String,
    /// Where it stands.
    pub span: Span,
}

/// Something that could not be read; the rest was read all the same.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unreadable {
    /// Where it stands.
    pub span: Span,
    /// What is wrong, in words that can follow "here": "`H` is no key".
    pub problem: String,
    /// What was expected instead, with an example.
    pub expected: String,
    /// What is lost with it.
    pub lost: Lost,
    /// The part it stands in, by its place in the piece; `None` where it may be any part's.
    pub part: Option<usize>,
}

impl Unreadable {
    /// The same, so many bytes further on.
    #[must_use]
    pub fn shifted(&self, by: usize) -> Self {
        Self {
            span: self.span.shifted(by),
            ..self.clone()
        }
    }
}

/// Leaves no more than [`MOST_UNREADABLE`] of the things that could not be read, in the order of the text; the last then
/// says that there are more.
pub fn hold_unreadable(all: &mut Vec<Unreadable>) {
    all.sort_by_key(|one| one.span);
    let Some(first) = all.get(MOST_UNREADABLE - 1) else {
        return;
    };
    if all.len() == MOST_UNREADABLE {
        return;
    }
    let more = Unreadable {
        span: first.span,
        problem: "this and more places from here on cannot be read".to_owned(),
        expected: "the places before this one put right first".to_owned(),
        lost: Lost::Notes,
        part: None,
    };
    all.truncate(MOST_UNREADABLE - 1);
    all.push(more);
}

/// What is lost with something that could not be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Lost {
    /// A word, a sign or a setting; all notes stand.
    NoNotes,
    /// Notes, or their pitch or length.
    Notes,
}
