//! Notes by where they stand, and all that they are one sound with.

use std::collections::HashMap;

use score::{EventKind, Note, Placed, Span};
use theory::{Interval, Pitch, Quarters, WrittenPitch};

/// A note of a part, in document bytes.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Written<'a> {
    /// The note.
    pub(crate) note: &'a Note,
    /// Where it stands.
    pub(crate) span: Span,
    /// Where its pitch stands.
    pub(crate) pitch_span: Span,
    /// Where its run begins.
    pub(crate) run: usize,
    /// Its bar's place in the part.
    pub(crate) bar: usize,
    /// When it starts, in quarter notes from the start of the piece.
    pub(crate) onset: Quarters,
}

impl<'a> Written<'a> {
    /// The note of an event in a piece that begins at a byte; `None` when it is none.
    pub(crate) const fn of(placed: &Placed<'a>, piece: usize) -> Option<Self> {
        let EventKind::Note(note) = &placed.event.kind else {
            return None;
        };
        let run = piece + placed.base;
        Some(Self {
            note,
            span: placed.event.span.shifted(run),
            pitch_span: note.pitch_span.shifted(run),
            run,
            bar: placed.bar,
            onset: placed.onset,
        })
    }
}

/// What stands in a note's place once its player reads `to` instead of `from`. On a page that is not the player's own,
/// what stands there moves by the same interval.
pub(crate) fn moved_on_page(old: Pitch, from: WrittenPitch, to: WrittenPitch) -> Pitch {
    old.transposed(Interval::between(from.0, to.0))
}

/// The new pitches, by where the old ones stand, of notes among all of their part that move with all they are tied to.
pub(crate) fn moved<'a>(
    all: impl FnOnce() -> Vec<Written<'a>>,
    named: &[Written<'_>],
    to: impl Fn(Pitch) -> Pitch,
) -> HashMap<Span, Pitch> {
    let mut pitches = HashMap::new();
    let free = |note: &Note| !note.tied_from && !note.tied_to;
    if named.iter().all(|written| free(written.note)) {
        let news = named
            .iter()
            .map(|written| (written.pitch_span, to(written.note.written.0)));
        pitches.extend(news);
        return pitches;
    }
    let all = all();
    for note in named {
        let Some(place) = all
            .iter()
            .position(|other| other.pitch_span == note.pitch_span)
        else {
            continue;
        };
        let new = to(note.note.written.0);
        for at in tied(&all, place, |written| (written.note, written.onset)) {
            pitches.insert(all[at].pitch_span, new);
        }
    }
    pitches
}

/// The places of all notes that a note is one sound with by ties, its own included; `of` gives a note and its onset.
pub(crate) fn tied<T>(all: &[T], place: usize, of: impl Fn(&T) -> (&Note, Quarters)) -> Vec<usize> {
    let follows = |before: usize, after: usize| {
        let ((from, starts), (to, goes_on)) = (of(&all[before]), of(&all[after]));
        to.tied_from && from.written == to.written && from.layer == to.layer && starts <= goes_on
    };
    let mut chain = vec![place];
    let mut at = place;
    while of(&all[at]).0.tied_to
        && let Some(next) = (at + 1..all.len()).find(|&next| follows(at, next))
    {
        chain.push(next);
        at = next;
    }
    at = place;
    while of(&all[at]).0.tied_from
        && let Some(before) = (0..at)
            .rev()
            .find(|&before| of(&all[before]).0.tied_to && follows(before, at))
    {
        chain.push(before);
        at = before;
    }
    chain
}
