//! What the notes of a part that is no horn's sound: what its notation says, else its page, moved by what the part records.

use score::{Event, EventKind, Kinds, Part};
use theory::{SoundingPitch, Transposition};

/// Goes through the events of a part in their order.
#[derive(Debug, Clone, Copy)]
pub struct Sounding(Transposition);

impl Sounding {
    /// At the beginning of one of the part's bars, by its place.
    #[must_use]
    pub fn before(part: &Part, bar: usize) -> Self {
        let changes = part.events_of(Kinds::TRANSPOSITIONS);
        let changes = changes.take_while(|placed| placed.bar < bar);
        let last = changes.filter_map(|placed| recorded(placed.event)).last();
        let start = part.transposition.map(|(recorded, _)| recorded);
        Self(last.or(start).unwrap_or(Transposition::CONCERT))
    }

    /// What the next event sounds, if it is a note.
    pub fn next(&mut self, event: &Event) -> Option<SoundingPitch> {
        self.0 = recorded(event).unwrap_or(self.0);
        match &event.kind {
            EventKind::Note(note) => {
                Some(note.sounding.unwrap_or_else(|| self.0.sound(note.written)))
            }
            _ => None,
        }
    }
}

const fn recorded(event: &Event) -> Option<Transposition> {
    match event.kind {
        EventKind::Transposition(recorded) => Some(recorded),
        _ => None,
    }
}
