//! What is to be heard of a part: its sounds as they are performed, repeats played out, each with its time, its loudness
//! and the pitches it runs through.

mod graces;
mod others;
mod runs;

use std::collections::HashMap;

use horn::Loudness;
use theory::{Quarters, Seconds};

use crate::note::PlayedNote;
use crate::orchestra::Curve;
use crate::part::HornPart;
use crate::performed::Turn;
use crate::piece::PieceReading;
use crate::technique::{Hand, Technique};
pub use others::OtherSound;
use runs::Runs;

/// One sound: a note, with those that it is held into.
#[derive(Debug, Clone, PartialEq)]
pub struct Heard {
    /// The notes it is read from, by their places in the part's notes, and when each begins; the first is attacked, the
    /// others are held on.
    pub notes: Vec<(usize, Seconds)>,
    /// When it ends.
    pub ends: Seconds,
    /// Its pitch in the room, in hertz.
    pub hertz: f64,
    /// The pitches it runs through after that, in hertz, and when it comes to each.
    pub steps: Vec<(Seconds, f64)>,
    /// How loud it is, and when; from one to the next it grows evenly, and after the last it stays.
    pub loudness: Vec<(Seconds, Loudness)>,
    /// Hand, mute, bell and tone.
    pub technique: Technique,
    /// Whether it is slurred from the sound before.
    pub slurred: bool,
}

impl Heard {
    /// When it begins.
    #[must_use]
    pub fn starts(&self) -> Seconds {
        self.notes.first().map_or(self.ends, |(_, starts)| *starts)
    }
}

impl PieceReading {
    /// What is to be heard of one of the piece's horn parts: all notes of its staff, in the order of time. Times count from
    /// the first bar on; small notes before its first note come earlier.
    #[must_use]
    pub fn heard(&self, horn: &HornPart) -> Vec<Heard> {
        let notes: Vec<&PlayedNote> = horn.notes.iter().collect();
        let part = self.piece.parts.get(horn.seat.part);
        let curve = part.map(Curve::of).unwrap_or_default();
        let performer = Performer {
            notes: &notes,
            curve: &curve,
        };
        let runs = Runs::of(horn);
        let mut heard = Vec::with_capacity(notes.len());
        for turn in &horn.performed.turns {
            let mut sounds = performer.turn(turn);
            graces::place(&mut sounds, &notes);
            runs.run(&mut sounds);
            heard.append(&mut sounds);
        }
        heard.sort_by(|one, other| one.starts().0.total_cmp(&other.starts().0));
        heard
    }
}

struct Performer<'a> {
    notes: &'a [&'a PlayedNote],
    curve: &'a Curve,
}

impl Performer<'_> {
    /// The sounds of one stretch of the page. What is held or slurred on the page is so within it alone.
    fn turn(&self, turn: &Turn) -> Vec<Heard> {
        let place = |bar| self.notes.partition_point(|note| note.bar < bar);
        let (from, to) = (place(turn.bars.start), place(turn.bars.end));
        let mut sounds: Vec<Heard> = Vec::with_capacity(to - from);
        // The sounds whose last notes are held on, and the last note of each line, with whether it is slurred from the one before.
        let mut held: Vec<usize> = Vec::new();
        let mut last: HashMap<u8, (&PlayedNote, bool)> = HashMap::new();
        for (index, note) in self.notes.iter().enumerate().take(to).skip(from) {
            let before = last.get(&note.layer);
            // The notes of a chord are come to together.
            let slurred = before.is_some_and(|(before, slurred)| {
                if note.chord {
                    *slurred
                } else {
                    before.slurred_to_next
                }
            });
            if !note.chord {
                last.insert(note.layer, (note, slurred));
            }
            let starts = Seconds(note.starts.0 + turn.later.0);
            held.retain(|sound| {
                let ends = sounds.get(*sound).and_then(|sound| self.page_end(sound));
                ends.is_some_and(|ends| ends >= note.onset)
            });
            let goes_on = held.iter().position(|sound| {
                let sound = sounds.get(*sound);
                sound.is_some_and(|sound| note.tied_from && self.holds_into(sound, note))
            });
            let place = match goes_on.map(|at| held.remove(at)) {
                Some(place) => place,
                None => {
                    sounds.push(self.attacked(note, slurred));
                    sounds.len() - 1
                }
            };
            if let Some(sound) = sounds.get_mut(place) {
                sound.notes.push((index, starts));
                sound.ends = Seconds(note.ends.0 + turn.later.0);
            }
            if note.tied_to {
                held.push(place);
            }
        }
        for sound in &mut sounds {
            sound.loudness = self.loudness(sound, turn.later);
        }
        sounds
    }

    fn note(&self, place: Option<&(usize, Seconds)>) -> Option<&PlayedNote> {
        self.notes.get(place?.0).copied()
    }

    /// Where on the page a sound ends.
    fn page_end(&self, sound: &Heard) -> Option<Quarters> {
        let last = self.note(sound.notes.last())?;
        Some(last.onset + last.length)
    }

    fn holds_into(&self, sound: &Heard, note: &PlayedNote) -> bool {
        self.note(sound.notes.last())
            .is_some_and(|last| last.sounding.midi() == note.sounding.midi())
            && self.page_end(sound) == Some(note.onset)
    }

    /// A sound that begins with a note.
    fn attacked(&self, note: &PlayedNote, slurred: bool) -> Heard {
        Heard {
            notes: Vec::new(),
            ends: note.ends,
            hertz: note.sounding.0.hertz(horn::concert_a().value),
            steps: Vec::new(),
            loudness: Vec::new(),
            technique: *note.technique,
            slurred,
        }
    }

    /// How loud a sound is, played so much later than the page read straight through.
    fn loudness(&self, sound: &Heard, later: Seconds) -> Vec<(Seconds, Loudness)> {
        let (Some(first), Some(last)) = (
            self.note(sound.notes.first()),
            self.note(sound.notes.last()),
        ) else {
            return Vec::new();
        };
        let marked = first
            .marked
            .dynamic
            .map(|(dynamic, _)| Loudness::of(dynamic));
        let unmarked = marked.unwrap_or(horn::loudness_where_none_is_marked().value);
        let (from, to) = (first.onset, last.onset + last.length);
        let (starts, ends) = (first.starts.0 + later.0, last.ends.0 + later.0);
        let share = |at: Quarters| {
            let whole = (to - from).to_f64();
            let passed = if whole > 0.0 {
                (at - from).to_f64() / whole
            } else {
                0.0
            };
            Seconds(starts + (ends - starts) * passed)
        };
        let closed = first.technique.hand != Hand::Open || first.technique.muted();
        let most = closed.then(|| Loudness::of(horn::loudest_closed().value));
        let heard = |level: Loudness| match most {
            Some(Loudness(most)) => Loudness(level.0.min(most)),
            None => level,
        };
        let points = self.curve.between(from, to);
        if points.is_empty() {
            return vec![(Seconds(starts), heard(unmarked))];
        }
        let points = points.into_iter();
        points
            .map(|(at, level)| (share(at), heard(level)))
            .collect()
    }
}
