//! Where nobody of a part plays: between what sounds before a moment and what comes after it.

use theory::{Quarters, Seconds};

use crate::part::HornPart;

/// When the notes of a part begin, and until when any before them sound.
#[derive(Debug, Clone, PartialEq)]
pub struct Silences(Vec<Sound>);

/// A note by its place, where it begins, and which note up to it sounds the longest, until when.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Sound {
    onset: Quarters,
    note: usize,
    starts: Seconds,
    longest: usize,
    until: Seconds,
}

/// What lies around a moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Silence {
    /// The note before it that ends last, by its place in the part.
    pub before: usize,
    /// The first note from it on.
    pub after: usize,
    /// From one to the other; less than nothing where a note goes on beyond the moment.
    pub lasts: Seconds,
}

impl Silences {
    /// Those of a part, in the order of its page.
    #[must_use]
    pub fn of(horn: &HornPart) -> Self {
        let notes = horn.notes.iter().enumerate();
        let mut sounds: Vec<Sound> = notes
            .map(|(place, note)| Sound {
                onset: note.onset,
                note: place,
                starts: note.starts,
                longest: place,
                until: note.ends,
            })
            .collect();
        sounds.sort_by_key(|sound| sound.onset);
        let mut last: Option<(usize, Seconds)> = None;
        for sound in &mut sounds {
            if let Some((longest, until)) = last.filter(|(_, until)| *until > sound.until) {
                (sound.longest, sound.until) = (longest, until);
            }
            last = Some((sound.longest, sound.until));
        }
        Self(sounds)
    }

    /// The silence around a moment, in quarter notes from the part's start; `None` before the first note or after the last.
    #[must_use]
    pub fn around(&self, moment: Quarters) -> Option<Silence> {
        let after = self.0.partition_point(|sound| sound.onset < moment);
        let (before, after) = (self.0.get(after.checked_sub(1)?)?, self.0.get(after)?);
        Some(Silence {
            before: before.longest,
            after: after.note,
            lasts: Seconds(after.starts.0 - before.until.0),
        })
    }
}
