//! Bars, and the runs of text that make them up: the unit that incremental reading keeps.

use std::sync::Arc;

use smallvec::SmallVec;
use theory::{Meter, Quarters};

use crate::event::Event;
use crate::kinds::Kinds;
use crate::span::Span;

/// A bar of one part.
#[derive(Debug, Clone, PartialEq)]
pub struct Bar {
    /// The number a player finds it by: 1 is the first full bar, 0 an upbeat.
    pub number: u32,
    /// When it starts, in quarter notes from the start of the piece.
    pub onset: Quarters,
    /// How long it lasts as written, in quarter notes.
    pub length: Quarters,
    /// The metre in force, if any.
    pub meter: Option<Meter>,
    /// The stretches of text it is made of, in order; a bar inside a multi-bar rest may have none.
    pub runs: Runs,
    /// What closes it.
    pub close: Option<Barline>,
}

/// The runs of a bar; nearly always one, which then needs no memory of its own.
pub type Runs = SmallVec<[Run; 1]>;

/// A stretch of a bar that stands together in the text.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// Where the stretch begins, in bytes from the start of the piece.
    pub base: usize,
    /// What it holds; shared between readings while its text and what came before stay the same.
    pub body: Arc<RunBody>,
}

/// What a run holds, counted from its own start so that it can be kept when text before it changes.
#[derive(Debug, PartialEq, Default)]
pub struct RunBody {
    /// The events, in the order of the text.
    pub events: Vec<Event>,
    /// Length of the run's text in bytes.
    pub text_length: usize,
    holds: Kinds,
}

impl RunBody {
    /// What a run of so many bytes holds.
    #[must_use]
    pub fn new(events: Vec<Event>, text_length: usize) -> Self {
        let kinds = events.iter().map(Kinds::of);
        Self {
            holds: kinds.fold(Kinds::NONE, Kinds::and),
            events,
            text_length,
        }
    }

    /// Of which kinds the events are.
    #[must_use]
    pub const fn holds(&self) -> Kinds {
        self.holds
    }
}

/// A barline.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Barline {
    /// Where it stands, in bytes from the start of the piece.
    pub span: Span,
    /// Whether a repeated stretch ends here.
    pub repeat_end: bool,
    /// Whether a repeated stretch begins here.
    pub repeat_start: bool,
    /// How many times the stretch that ends here is played in all, where that is said; else twice.
    pub times: Option<u32>,
    /// Whether a repeat that names no beginning goes back to here, though no repeat begins.
    pub repeat_from: bool,
    /// Whether an ending ends here.
    pub ending_end: bool,
    /// Whether the section or piece ends here (thin-thick or double).
    pub section_end: bool,
    /// The ending that begins here, as it is written (`1`, `1,3`).
    pub ending: Option<String>,
}

impl Barline {
    /// This and the next one, with nothing between them, as one that stands where this does.
    #[must_use]
    pub fn joined(self, next: Self) -> Self {
        Self {
            span: self.span,
            repeat_end: self.repeat_end || next.repeat_end,
            repeat_start: self.repeat_start || next.repeat_start,
            times: next.times.or(self.times),
            repeat_from: self.repeat_from || next.repeat_from,
            ending_end: self.ending_end || next.ending_end,
            section_end: self.section_end || next.section_end,
            ending: next.ending.or(self.ending),
        }
    }
}

/// An event with its places worked out.
#[derive(Debug, Clone, Copy)]
pub struct Placed<'a> {
    /// The event.
    pub event: &'a Event,
    /// The bar's place in the part's list of bars.
    pub bar: usize,
    /// When it happens, in quarter notes from the start of the piece.
    pub onset: Quarters,
    /// Where its run begins, in bytes from the start of the piece.
    pub base: usize,
}

impl Placed<'_> {
    /// Where the event stands, in bytes from the start of the piece.
    #[must_use]
    pub const fn span(&self) -> Span {
        self.event.span.shifted(self.base)
    }
}

impl Bar {
    /// The events of the bar, placed; `index` is the bar's place in its part.
    pub fn events(&self, index: usize) -> impl Iterator<Item = Placed<'_>> {
        self.runs.iter().flat_map(move |run| {
            run.body.events.iter().map(move |event| Placed {
                event,
                bar: index,
                onset: self.onset + event.offset,
                base: run.base,
            })
        })
    }

    /// Whether any event of the bar is of one of some kinds.
    #[must_use]
    pub fn holds(&self, kinds: Kinds) -> bool {
        self.runs.iter().any(|run| run.body.holds.meets(kinds))
    }

    /// From the first run's start to the last one's end, in bytes from the start of the piece.
    #[must_use]
    pub fn span(&self) -> Option<Span> {
        let (first, last) = (self.runs.first()?, self.runs.last()?);
        Some(Span::new(first.base, last.base + last.body.text_length))
    }
}
