//! Whether the music of a lesson that had to stay did stay in an answer.

use std::collections::HashSet;

use theory::{Quarters, TempoSource};

use super::alignment::Alignment;
use super::free::Free;
use super::marks::{Change, Changed, Marks};
use super::music::{BarMusic, Heard, PartMusic, PieceMusic};
use super::playing;

/// A lesson's piece beside the same piece of an answer.
pub(super) struct Beside<'a> {
    /// The piece's place in the lesson.
    pub(super) piece: usize,
    pub(super) lesson: &'a PieceMusic<'a>,
    pub(super) answer: &'a PieceMusic<'a>,
    pub(super) bars: &'a Alignment,
    /// For each part of the lesson the answer's.
    pub(super) parts: &'a [Option<usize>],
    pub(super) free: &'a Free,
}

impl Beside<'_> {
    /// Where music is other that had to stay.
    pub(super) fn changes(&self) -> Vec<Changed> {
        let mut changed = Changes::default();
        for (at, was) in self.lesson.parts.iter().enumerate() {
            let is = self.parts.get(at).copied().flatten();
            let is = is.and_then(|at| self.answer.parts.get(at));
            match is.filter(|is| was.horn.is_none() || is.horn.is_some()) {
                Some(is) => self.part(at, was, is, &mut changed),
                None => changed.add(Some(&was.label), None, Change::Missing),
            }
        }
        self.emptied(&mut changed);
        self.tempo(&mut changed);
        changed.all
    }

    fn part(&self, at: usize, was: &PartMusic<'_>, is: &PartMusic<'_>, changed: &mut Changes) {
        let label = Some(was.label.as_str());
        let mut told = None;
        for (place, bar) in was.bars.iter().enumerate() {
            let now = self.bars.of_lesson.get(place).copied().flatten();
            let Some(now) = now.and_then(|now| is.bars.get(now)) else {
                changed.add(label, Some(bar.number), Change::BarOut);
                continue;
            };
            // A bar that could not be read as a whole may become one.
            let free = self.free.bar(self.piece, at, place);
            let made_whole = free && bar.full == Some(now.length);
            if bar.length != now.length && !made_whole {
                changed.add(label, Some(bar.number), Change::BarLength);
            }
            if free {
                continue;
            }
            if bar.repeats != now.repeats {
                changed.add(label, Some(bar.number), Change::Repeats);
            }
            let thinner = self.free.thinner(self.piece, at, place);
            let left = thinner.then(|| thinned(bar, now)).flatten();
            let same = left.map_or_else(|| self.bar(at, place, bar, now), Ok);
            let notes = match same {
                Ok(notes) => notes,
                Err(what) => {
                    changed.add(label, Some(bar.number), what);
                    continue;
                }
            };
            // What a mark does is told once, where it begins.
            let other = playing::other(self, at, was.horn, is.horn, &notes);
            if let Some(other) = other.filter(|other| told != Some(*other)) {
                changed.add(label, Some(bar.number), other.what);
                told = Some(other);
            }
        }
        for (place, bar) in is.bars.iter().enumerate() {
            if self.bars.of_answer.get(place).copied().flatten().is_none() {
                changed.add(label, Some(bar.number), Change::BarIn);
            }
        }
    }

    /// The notes of a bar that had to stay, each with what it is now; fails with what sounds otherwise.
    fn bar<'n>(
        &self,
        part: usize,
        place: usize,
        was: &'n BarMusic<'n>,
        is: &'n BarMusic<'n>,
    ) -> Result<Vec<SameNote<'n>>, Change> {
        let when = |bar: &BarMusic<'_>| -> Vec<(Quarters, Quarters, bool)> {
            let mut when: Vec<_> = bar
                .notes
                .iter()
                .map(|note| (note.offset, note.length, note.grace))
                .collect();
            when.sort_unstable();
            when
        };
        if when(was) != when(is) {
            return Err(Change::Rhythm);
        }
        let what = |note: &Heard<'_>| (note.offset, note.length, note.grace, note.sounds);
        if !was.notes.iter().map(what).eq(is.notes.iter().map(what)) {
            return Err(Change::Pitch);
        }
        // What is held over a barline may be let go where the bar beyond it is free. What a note is held on from has been
        // compared with the note before.
        let beyond = self.free.bar(self.piece, part, place + 1);
        let ties = |bar: &BarMusic<'_>| -> Vec<(Quarters, i32, bool)> {
            let ties = bar.notes.iter().map(|note| {
                let leaves = beyond && note.offset + note.length >= bar.length;
                (note.offset, note.sounds, note.tied_to && !leaves)
            });
            let mut ties: Vec<_> = ties.collect();
            ties.sort_unstable();
            ties
        };
        if ties(was) != ties(is) {
            return Err(Change::Ties);
        }
        Ok(was.notes.iter().zip(&is.notes).collect())
    }

    /// Bars that might be written anew and in which nobody plays any more who did.
    fn emptied(&self, changed: &mut Changes) {
        for place in 0..self.lesson.bars() {
            let free = |at: &usize| self.free.bar(self.piece, *at, place);
            let parts: Vec<usize> = (0..self.lesson.parts.len()).filter(free).collect();
            let played = |at: &&usize| {
                let bar = self
                    .lesson
                    .parts
                    .get(**at)
                    .and_then(|part| part.bars.get(place));
                bar.is_some_and(|bar| !bar.notes.is_empty())
            };
            let Some(first) = parts.iter().find(played) else {
                continue;
            };
            let plays = |at: &usize| {
                let part = self.parts.get(*at).copied().flatten();
                let part = part.and_then(|part| self.answer.parts.get(part));
                let bar = self.bars.of_lesson.get(place).copied().flatten();
                let bar = part.zip(bar).and_then(|(part, bar)| part.bars.get(bar));
                bar.is_some_and(|bar| !bar.notes.is_empty())
            };
            if !parts.iter().any(plays)
                && let Some(part) = self.lesson.parts.get(*first)
                && let Some(bar) = part.bars.get(place)
            {
                changed.add(Some(&part.label), Some(bar.number), Change::Emptied);
            }
        }
    }

    /// Where the music goes faster or slower than the lesson marks; told once where it begins.
    fn tempo(&self, changed: &mut Changes) {
        let Some(longest) = self.lesson.parts.iter().max_by_key(|part| part.bars.len()) else {
            return;
        };
        let in_answer = self.answer.parts.iter().max_by_key(|part| part.bars.len());
        let mut differed = false;
        for (place, bar) in longest.bars.iter().enumerate() {
            let now = self.bars.of_lesson.get(place).copied().flatten();
            let now = now.and_then(|now| in_answer?.bars.get(now));
            let Some(now) = now else {
                continue;
            };
            let (was, source) = self.lesson.reading.tempo.tempo(bar.onset);
            let (is, _) = self.answer.reading.tempo.tempo(now.onset);
            let differs = source != TempoSource::Assumed
                && (was.rate() - is.rate()).abs() > was.rate() * EXACT;
            let free = (0..self.lesson.parts.len()).any(|at| self.free.bar(self.piece, at, place));
            if differs && !differed && !free {
                changed.add(None, Some(bar.number), Change::Tempo);
            }
            differed = differs;
        }
    }
}

/// A note of the lesson, and the same note of the answer.
pub(super) type SameNote<'a> = (&'a Heard<'a>, &'a Heard<'a>);

/// The notes that are left of a bar, each with what it is now, where none is new, other or longer.
fn thinned<'n>(was: &'n BarMusic<'n>, is: &'n BarMusic<'n>) -> Option<Vec<SameNote<'n>>> {
    let mut known = was.notes.iter();
    let left = is.notes.iter().map(|note| {
        let same = |one: &&Heard<'_>| {
            (one.offset, one.sounds, one.grace) == (note.offset, note.sounds, note.grace)
        };
        let one = known.find(same)?;
        (note.length <= one.length).then_some((one, note))
    });
    left.collect()
}

/// Tempos nearer than this share of them are the same.
const EXACT: f64 = 0.005;

/// The places found so far, each named once.
#[derive(Default)]
struct Changes {
    known: HashSet<(Option<String>, Option<u32>)>,
    all: Vec<Changed>,
}

impl Changes {
    fn add(&mut self, part: Option<&str>, bar: Option<u32>, what: Change) {
        let part = part.map(str::to_owned);
        if self.all.len() < Marks::MOST_CHANGES && self.known.insert((part.clone(), bar)) {
            self.all.push(Changed { part, bar, what });
        }
    }
}
