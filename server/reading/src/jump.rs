//! How the horn is held where the performance leaves the order of the page: at a repeat, an ending, a D.C. or a D.S.

use std::collections::HashSet;

use theory::Seconds;

use crate::effort::Pass;
use crate::note::{PlayedMark, PlayedNote};
use crate::performed::Performed;
use crate::technique::Technique;

/// A place where the performance leaves the order of the page, between two notes of the main line's player. The same jump
/// is here once, however often it is made, unless the horn is then held otherwise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Jump {
    /// The last note played before it, by its place in the part's notes.
    pub last: usize,
    /// The first note played after it, by its place in the part's notes.
    pub next: usize,
    /// Which time that one is then played, from 1 on.
    pub time: u32,
    /// The rest between them.
    pub rest: Seconds,
    /// How words have it that the horn is held at the last note, one after the other as they are played.
    pub before: Technique,
    /// How they have it that it is held at the first note after.
    pub after: Technique,
    /// How they would have it there, were the page played straight through.
    pub on_page: Technique,
}

/// What a performance comes to.
#[derive(Debug, Default)]
pub(crate) struct Performing {
    /// Its jumps, in the order in which they are first made.
    pub(crate) jumps: Vec<Jump>,
    /// How words have it that the horn is held when it ends.
    pub(crate) at_end: Technique,
}

/// Follows the words for hand, mute and bell along a performance; `marks` learn how the horn is held when a repeat comes to
/// them. `on_page` is how it is held at the page's end.
pub(crate) fn follow(
    notes: &[PlayedNote],
    marks: &mut [PlayedMark],
    performed: &Performed,
    passes: &[Pass],
    on_page: Technique,
) -> Performing {
    // Played straight through, all is as the page has it.
    if performed.turns.len() < 2 {
        return Performing {
            jumps: Vec::new(),
            at_end: on_page,
        };
    }
    let mut made = HashSet::new();
    let mut jumps = Vec::new();
    let mut now = Technique::default();
    // The pass before a jump, and how the horn is held in it.
    let mut left: Option<(&Pass, Technique)> = None;
    let mut passes = passes.iter();
    for turn in &performed.turns {
        let place = |bar| notes.partition_point(|note| note.bar < bar);
        let held = place(turn.bars.start)..place(turn.bars.end);
        let leading = notes.get(held).unwrap_or_default().iter();
        let leading = leading.filter(|note| note.leads()).count();
        let played = passes.as_slice().get(..leading).unwrap_or_default();
        passes = passes.as_slice().get(leading..).unwrap_or_default().iter();
        let first = marks.partition_point(|mark| mark.bar < turn.bars.start);
        let last = marks.partition_point(|mark| mark.bar < turn.bars.end);
        let begins = played
            .first()
            .map_or(last, |pass| first.max(until(marks, pass.note)));
        let ends = played
            .last()
            .map_or(last, |pass| begins.max(until(marks, pass.note)));
        obey(marks, first..begins, &mut now);
        if let (Some(next), Some((last, before))) = (played.first(), left) {
            let jump = Jump {
                last: last.note,
                next: next.note,
                time: next.time,
                rest: Seconds((next.starts - last.ends).0.max(0.0)),
                before,
                after: now,
                on_page: marks.get(begins).map_or(on_page, |mark| mark.before),
            };
            if made.insert((jump.last, jump.next, before.held(), now.held())) {
                jumps.push(jump);
            }
        }
        obey(marks, begins..ends, &mut now);
        left = played.last().map(|pass| (pass, now)).or(left);
        obey(marks, ends..last, &mut now);
    }
    Performing { jumps, at_end: now }
}

/// How many of the marks stand before a note, by its place.
fn until(marks: &[PlayedMark], note: usize) -> usize {
    marks.partition_point(|mark| mark.last_note.is_none_or(|last| last < note))
}

/// Obeys some marks, one after the other.
fn obey(marks: &mut [PlayedMark], which: std::ops::Range<usize>, now: &mut Technique) {
    for mark in marks.get_mut(which).unwrap_or_default() {
        if !mark
            .every_before()
            .any(|before| before.held() == now.held())
        {
            mark.again.push(*now);
        }
        now.obey(&mark.said, mark.span);
    }
}
