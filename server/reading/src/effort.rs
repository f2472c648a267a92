//! What playing costs: the breath spent, the lip's load, the time spent high, note by note.

use horn::{AirUse, Height};
use theory::Seconds;

use crate::note::PlayedNote;

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
    /// The note at which it last began from nothing, by its place in the part's notes.
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

/// The effort at each note; notes that the main line's player does not play share the effort of the note before.
pub(crate) fn efforts(notes: &[PlayedNote], endurance: &Endurance) -> Vec<Effort> {
    let mut efforts: Vec<Effort> = Vec::with_capacity(notes.len());
    let mut now = Effort::default();
    let mut last: Option<&PlayedNote> = None;
    let mut until = 0.0_f64;
    for (index, note) in notes.iter().enumerate() {
        if note.leads() {
            let rested = (note.starts.0 - until).max(0.0);
            now = next(now, index, note, last, rested, endurance);
            until = until.max(note.ends.0);
            last = Some(note);
        }
        efforts.push(now);
    }
    efforts
}

/// The effort at a note, from that at the one before and the seconds rested between.
fn next(
    before: Effort,
    index: usize,
    note: &PlayedNote,
    last: Option<&PlayedNote>,
    rested: f64,
    endurance: &Endurance,
) -> Effort {
    let length = (note.ends - note.starts).0.max(0.0);
    let dynamic = note.dynamic.map(|(dynamic, _)| dynamic);
    let breathed = last.is_none_or(|last| {
        last.breath.is_some() || (note.starts - last.ends).0 >= endurance.breathing_rest.0 - EXACT
    });
    let whole = endurance
        .lasts(AirUse::of(dynamic), note.height)
        .0
        .max(SHORTEST_BREATH);
    let breath = before.breath.grown(breathed, 0.0, length / whole, index);
    let anew = !breathed && !note.tied_from && last.is_some_and(|last| !last.slurred_to_next);
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
