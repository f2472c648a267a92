//! What a part plays: its sounds in the order of time, and what instrument it is for.

use horn::OrchestraInstrument;
use score::{EventKind, Part, WitnessKind};
use theory::{Quarters, SoundingPitch};

use crate::part::HornPart;
use crate::sounding::Sounding;

/// A sound of a part.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Sound {
    /// Quarter notes from the start of the piece.
    pub onset: Quarters,
    /// The same, where it ends.
    pub end: Quarters,
    /// The pitch, spelled as its part spells it.
    pub pitch: SoundingPitch,
}

impl Sound {
    /// Its MIDI number.
    pub fn midi(&self) -> i32 {
        self.pitch.midi()
    }
}

/// What a part is for, by the first of what the file says of it that names an instrument.
pub(super) fn instrument(part: &Part) -> Option<OrchestraInstrument> {
    let name = part
        .name
        .as_ref()
        .and_then(|name| OrchestraInstrument::of_name(&name.text));
    let said = || {
        part.witnesses
            .iter()
            .find_map(|witness| match witness.kind {
                WitnessKind::Class(_) => OrchestraInstrument::of_code(&witness.text.text),
                _ => OrchestraInstrument::of_name(&witness.text.text),
            })
    };
    name.or_else(said)
}

/// The sounds of a horn part.
pub(super) fn of_horn(horn: &HornPart) -> Vec<Sound> {
    let sounds = horn
        .notes
        .iter()
        .filter(|note| note.length > Quarters::ZERO);
    let sounds = sounds.map(|note| Sound {
        onset: note.onset,
        end: note.onset + note.length,
        pitch: note.sounding,
    });
    in_order(sounds.collect())
}

/// The sounds of a part that is no horn's.
pub(crate) fn of_other(part: &Part) -> Vec<Sound> {
    let mut sounding = Sounding::before(part, 0);
    let mut sounds = Vec::new();
    for placed in part.events() {
        let sounds_as = sounding.next(placed.event);
        if let (EventKind::Note(note), Some(pitch)) = (&placed.event.kind, sounds_as)
            && note.length > Quarters::ZERO
        {
            sounds.push(Sound {
                onset: placed.onset,
                end: placed.onset + note.length,
                pitch,
            });
        }
    }
    in_order(sounds)
}

fn in_order(mut sounds: Vec<Sound>) -> Vec<Sound> {
    sounds.sort_by_key(|sound| (sound.onset, sound.midi()));
    sounds
}
