//! What playing costs: the breath spent, the lip's load, the time spent high, note by note along the performance.

use horn::{AirUse, Height};
use theory::Seconds;

use crate::note::PlayedNote;
use crate::performed::{Performed, Turn};

/// What a player can spend and how it comes back.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Endurance {
    /// How long a breath lasts, thriftiest use of air first, in the order of [`AirUse::ALL`].
    pub breath: [Seconds; 3],
    /// What share of that a breath lasts low down and high up, as [`horn::breath_share`] takes them.
    pub breath_by_height: [f64; 2],
    /// The shortest rest in which a player breathes.
    pub breathing_rest: Seconds,
    /// The load at which the lip tires, in seconds of mezzo forte on written C5.
    pub capacity: Seconds,
    /// How many seconds of load a second of rest takes off the lip.
    pub recovery: f64,
    /// From which height on it is high.
    pub high_from: Height,
}

impl Endurance {
    /// How long a breath lasts on a note of a height, at a use of air.
    #[must_use]
    pub fn lasts(&self, air: AirUse, height: Height) -> Seconds {
        let [soft, medium, loud] = self.breath;
        let Seconds(seconds) = match air {
            AirUse::Soft => soft,
            AirUse::Medium => medium,
            AirUse::Loud => loud,
        };
        let [low, high] = self.breath_by_height;
        Seconds(seconds * horn::breath_share(height, low, high))
    }
}

/// A sum that grows in playing and falls in rest.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Spent {
    /// What it is at the note's attack, after what came back before.
    pub before: f64,
    /// What it is at the note's end.
    pub after: f64,
    /// The note at which it last began from nothing, by its place among the notes as played.
    pub since: usize,
}

/// What has been spent when a note is played.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Effort {
    /// Of the breath: 1 is a whole one.
    pub breath: Spent,
    /// Whether some note since that breath began anew, so that air could have been snatched before it.
    pub snatched: bool,
    /// Of the lip: seconds of mezzo forte on written C5, by this project's model (`horn::height_load`).
    pub lip: Spent,
    /// Seconds in the high register, time spent lower or at rest counted off.
    pub high: Spent,
}

/// A note, each time that the performance comes to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pass {
    /// The note, by its place in the part's notes.
    pub note: usize,
    /// Which time it is played, from 1 on.
    pub time: u32,
    /// When it then begins.
    pub starts: Seconds,
    /// When it then ends.
    pub ends: Seconds,
    /// What has then been spent.
    pub effort: Effort,
}

/// The notes that the main line's player plays, in the order played.
pub(crate) fn played(
    notes: &[PlayedNote],
    performed: &Performed,
    endurance: &Endurance,
) -> Vec<Pass> {
    let mut played: Vec<Pass> = Vec::with_capacity(notes.len());
    let bars = performed.turns.iter().map(|turn| turn.bars.end).max();
    let mut times: Vec<u32> = vec![0; bars.unwrap_or(0)];
    let mut last: Option<(&PlayedNote, &Turn)> = None;
    let mut until = 0.0_f64;
    for turn in &performed.turns {
        for time in times.get_mut(turn.bars.clone()).unwrap_or_default() {
            *time += 1;
        }
        let place = |bar| notes.partition_point(|note| note.bar < bar);
        let held = place(turn.bars.start)..place(turn.bars.end);
        let notes = notes.iter().enumerate().take(held.end).skip(held.start);
        for (index, note) in notes.filter(|(_, note)| note.leads()) {
            let starts = Seconds(note.starts.0 + turn.later.0);
            let ends = Seconds(note.ends.0 + turn.later.0);
            let breathed = last.is_none_or(|(last, then)| {
                let rested = starts.0 - (last.ends.0 + then.later.0);
                last.breathes_after() || rested >= endurance.breathing_rest.0 - EXACT
            });
            // What is held or slurred on the page is so within a turn alone.
            let anew = last.is_some_and(|(last, then)| {
                !std::ptr::eq(then, turn) || (!note.tied_from && !last.slurred_to_next)
            });
            let came = Came {
                breathed,
                anew: anew && !breathed,
                rested: (starts.0 - until).max(0.0),
            };
            let before = played.last().map_or_else(Effort::default, |one| one.effort);
            played.push(Pass {
                note: index,
                time: times.get(note.bar).copied().unwrap_or(1),
                starts,
                ends,
                effort: next(before, played.len(), note, &came, endurance),
            });
            until = until.max(ends.0);
            last = Some((note, turn));
        }
    }
    played
}

/// How a player came to a note.
struct Came {
    /// With a breath taken before it.
    breathed: bool,
    /// With an attack of its own and no breath, so that air can be snatched.
    anew: bool,
    /// Seconds rested before it.
    rested: f64,
}

/// The effort at a note, from that at the one before.
fn next(
    before: Effort,
    index: usize,
    note: &PlayedNote,
    came: &Came,
    endurance: &Endurance,
) -> Effort {
    let Came {
        breathed,
        anew,
        rested,
    } = *came;
    let length = (note.ends - note.starts).0.max(0.0);
    let dynamic = note.marked.dynamic.map(|(dynamic, _)| dynamic);
    let whole = endurance
        .lasts(AirUse::of(dynamic), note.height)
        .0
        .max(SHORTEST_BREATH);
    let breath = before.breath.grown(breathed, 0.0, length / whole, index);
    let load = length * horn::height_load(note.height) * horn::loudness_load(dynamic);
    let (spent, back) = if note.height < endurance.high_from {
        (0.0, rested + length)
    } else {
        (length, rested)
    };
    Effort {
        breath,
        snatched: anew || (before.snatched && !breathed),
        lip: before
            .lip
            .grown(false, rested * endurance.recovery, load, index),
        high: before.high.grown(false, back, spent, index),
    }
}

/// Seconds are sums of fractions; times nearer than this are the same.
const EXACT: f64 = 1e-6;
/// Seconds; a setting of nothing would make every breath endless.
const SHORTEST_BREATH: f64 = 0.1;

impl Spent {
    /// The sum after some of it has come back and more is spent.
    fn grown(self, anew: bool, back: f64, spent: f64, index: usize) -> Self {
        let before = if anew {
            0.0
        } else {
            (self.after - back).max(0.0)
        };
        let since = if before <= 0.0 { index } else { self.since };
        Self {
            before,
            after: before + spent,
            since,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sum_grows_in_playing_and_falls_in_rest() {
        let first = Spent::default().grown(false, 0.0, 4.0, 3);
        assert_eq!((first.before, first.after, first.since), (0.0, 4.0, 3));
        let second = first.grown(false, 1.0, 2.0, 4);
        assert_eq!((second.before, second.after, second.since), (3.0, 5.0, 3));
        // More than all comes back, and what follows begins from nothing.
        let third = second.grown(false, 9.0, 1.0, 5);
        assert_eq!((third.before, third.after, third.since), (0.0, 1.0, 5));
        assert_eq!(third.grown(true, 0.0, 1.0, 6).since, 6);
    }
}
