//! Which accidentals small notes show.

use score::{Bar, EventKind, Kinds, Part};
use theory::{Alteration, Key, Letter, Pitch, WrittenPitch};

/// Which accidentals the small notes of a bar need: all that the signature does not say, each time, and those that
/// take one back.
pub(super) struct Spelling {
    key: Key,
    altered: Vec<(Letter, Alteration)>,
}

impl Spelling {
    pub(super) fn of(part: &Part, bar: &Bar) -> Self {
        let keys = part.events_of(Kinds::KEYS);
        let before = keys.take_while(|placed| placed.onset <= bar.onset);
        let said = before.filter_map(|placed| match placed.event.kind {
            EventKind::Key(said) => Some(said),
            _ => None,
        });
        Self::under(said.last().unwrap_or(Key::NONE))
    }

    /// In the signature of a bar.
    pub(super) const fn under(key: Key) -> Self {
        Self {
            key,
            altered: Vec::new(),
        }
    }

    /// Whether the next note of the bar needs its accidental.
    pub(super) fn sign(&mut self, WrittenPitch(pitch): WrittenPitch) -> bool {
        let Pitch {
            letter, alteration, ..
        } = pitch;
        let met = |(known, other): &(Letter, Alteration)| *known == letter && *other != alteration;
        let met = self.altered.iter().any(met);
        self.altered.push((letter, alteration));
        alteration != Alteration::NATURAL || met || self.key.alteration(letter) != alteration
    }
}
