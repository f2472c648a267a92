//! What else sounds while a horn's note is begun: how heavy it is, and which harmony it makes.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use horn::{Carrying, Dynamic};
use score::{EventKind, MarkKind, Part};
use theory::Quarters;

use crate::note::PlayedNote;
use crate::part::HornPart;
use crate::piece::PieceReading;

/// What sounds around a note at its attack.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Around {
    /// How much other parts carry that are marked louder than the note, or as loud where it is f or more, in units of
    /// one woodwind instrument; a part without a dynamic covers nothing that can be known.
    pub cover: u32,
    /// What the note's own horn carries, in the same units.
    pub own: u32,
    /// The pitch classes that sound, the note's own among them.
    pub harmony: Harmony,
}

/// Pitch classes that sound together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Harmony(u16);

impl Harmony {
    /// Whether a sound belongs to it, in whatever octave; by its MIDI number.
    #[must_use]
    pub const fn has(self, midi: i32) -> bool {
        self.0 & (1 << midi.rem_euclid(12)) != 0
    }

    /// How many pitch classes sound.
    #[must_use]
    pub const fn notes(self) -> u32 {
        self.0.count_ones()
    }
}

/// What sounds whenever a horn's note begins, for each horn, worked out when it is first asked for.
///
/// It follows from the rest of the reading, so that readings are equal whether or not anybody has asked.
#[derive(Debug, Clone, Default)]
pub(crate) struct AllAround(OnceLock<Vec<Vec<Moment>>>);

impl PartialEq for AllAround {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

/// What sounds at one moment besides one part.
#[derive(Debug, Clone)]
struct Moment {
    onset: Quarters,
    /// How much the others carry at each dynamic, in units, softest first.
    loudness: Vec<(Dynamic, u32)>,
    /// All pitch classes that sound, the part's own among them.
    harmony: Harmony,
}

impl PieceReading {
    /// What sounds around a note that is played from a horn's staff.
    #[must_use]
    pub fn around(&self, horn: &HornPart, note: &PlayedNote) -> Around {
        let all = self.around.0.get_or_init(|| all_around(self));
        let place = self
            .horns
            .binary_search_by_key(&horn.seat.part, |horn| horn.seat.part);
        let moments = place.ok().and_then(|place| all.get(place));
        let moment = moments.and_then(|moments| {
            let place = moments.binary_search_by_key(&note.onset, |moment| moment.onset);
            moments.get(place.ok()?)
        });
        let dynamic = note.dynamic.map_or(Dynamic::MF, |(dynamic, _)| dynamic);
        let counts = |other: Dynamic| other > dynamic || (dynamic.is_loud() && other == dynamic);
        let loudness = moment.map_or(&[][..], |moment| &moment.loudness);
        let covering = loudness.iter().filter(|(other, _)| counts(*other));
        Around {
            cover: covering.map(|(_, units)| units).sum(),
            own: Carrying::Horn.units(dynamic.is_loud()).value,
            harmony: moment.map(|moment| moment.harmony).unwrap_or_default(),
        }
    }
}

/// A sound begins or ends. In the order of time, ends before beginnings.
struct Change {
    at: Quarters,
    begins: bool,
    part: usize,
    midi: i32,
    dynamic: Option<Dynamic>,
}

/// One walk through all parts together.
fn all_around(reading: &PieceReading) -> Vec<Vec<Moment>> {
    let mut changes = changes(reading);
    changes.sort_by_key(|change| (change.at, change.begins));
    let mut asked: Vec<(Quarters, usize, usize)> = Vec::new();
    for (place, horn) in reading.horns.iter().enumerate() {
        asked.extend(
            horn.notes
                .iter()
                .map(|note| (note.onset, place, horn.seat.part)),
        );
    }
    asked.sort_unstable();
    asked.dedup();
    let mut all: Vec<Vec<Moment>> = reading.horns.iter().map(|_| Vec::new()).collect();
    let mut sounding = Sounding::of(reading);
    let mut changes = changes.into_iter().peekable();
    for (onset, place, part) in asked {
        while let Some(change) = changes.next_if(|change| change.at <= onset) {
            sounding.take(&change);
        }
        if let Some(moments) = all.get_mut(place) {
            moments.push(sounding.moment(onset, part));
        }
    }
    all
}

/// The beginnings and ends of all that sounds in the piece, part after part.
fn changes(reading: &PieceReading) -> Vec<Change> {
    let mut changes = Vec::new();
    let mut horns = reading.horns.iter().peekable();
    for (index, part) in reading.piece.parts.iter().enumerate() {
        let mut push = |onset: Quarters, length: Quarters, midi: i32, dynamic: Option<Dynamic>| {
            if length > Quarters::ZERO {
                let change = |at, begins| Change {
                    at,
                    begins,
                    part: index,
                    midi,
                    dynamic,
                };
                changes.extend([change(onset, true), change(onset + length, false)]);
            }
        };
        match horns.next_if(|horn| horn.seat.part == index) {
            Some(horn) => {
                for note in &horn.notes {
                    let dynamic = note.dynamic.map(|(dynamic, _)| dynamic);
                    push(note.onset, note.length, note.sounding.midi(), dynamic);
                }
            }
            None => others(part, push),
        }
    }
    changes
}

/// The notes of a part that is no horn's: onset, length, sound and dynamic.
fn others(part: &Part, mut push: impl FnMut(Quarters, Quarters, i32, Option<Dynamic>)) {
    let mut by = part
        .transposition
        .map_or(0, |(recorded, _)| recorded.0.semitones);
    let mut dynamic = None;
    for placed in part.events() {
        match &placed.event.kind {
            EventKind::Note(note) => {
                let sounding = note.sounding.map(theory::SoundingPitch::midi);
                let midi = sounding.unwrap_or_else(|| note.written.midi() + by);
                push(placed.onset, note.length, midi, dynamic);
            }
            EventKind::Transposition(recorded) => by = recorded.0.semitones,
            EventKind::Mark(mark) => {
                if let MarkKind::Dynamic(letters) = &mark.kind {
                    dynamic = Dynamic::read(letters).or(dynamic);
                }
            }
            _ => {}
        }
    }
}

/// What sounds at one moment.
struct Sounding {
    parts: Vec<Voice>,
    /// How much sounds at each dynamic, in units.
    at: BTreeMap<Dynamic, u32>,
    /// How many notes of each pitch class sound.
    classes: [u32; 12],
}

/// One part at one moment.
struct Voice {
    carrying: Carrying,
    notes: u32,
    dynamic: Option<Dynamic>,
}

impl Voice {
    /// Its loudness and weight, while it sounds and says how loud it is.
    fn weight(&self) -> Option<(Dynamic, u32)> {
        let dynamic = self.dynamic.filter(|_| self.notes > 0)?;
        Some((dynamic, self.carrying.units(dynamic.is_loud()).value))
    }
}

impl Sounding {
    /// Silence.
    fn of(reading: &PieceReading) -> Self {
        let mut horns = reading.horns.iter().peekable();
        let parts = reading.piece.parts.iter().enumerate().map(|(index, part)| {
            let is_horn = horns.next_if(|horn| horn.seat.part == index).is_some();
            let name = part.name.as_ref().map_or("", |name| &name.text);
            Voice {
                carrying: if is_horn {
                    Carrying::Horn
                } else {
                    Carrying::of_name(name)
                },
                notes: 0,
                dynamic: None,
            }
        });
        Self {
            parts: parts.collect(),
            at: BTreeMap::new(),
            classes: [0; 12],
        }
    }

    /// Lets a sound begin or end.
    fn take(&mut self, change: &Change) {
        let Some(voice) = self.parts.get_mut(change.part) else {
            return;
        };
        let before = voice.weight();
        let class = self.classes.get_mut(change.midi.rem_euclid(12) as usize);
        if change.begins {
            voice.notes += 1;
            voice.dynamic = change.dynamic;
        } else {
            voice.notes = voice.notes.saturating_sub(1);
        }
        if let Some(class) = class {
            *class = if change.begins {
                *class + 1
            } else {
                class.saturating_sub(1)
            };
        }
        if let Some((dynamic, weight)) = before {
            let sum = self.at.entry(dynamic).or_default();
            *sum = sum.saturating_sub(weight);
        }
        if let Some((dynamic, weight)) = voice.weight() {
            *self.at.entry(dynamic).or_default() += weight;
        }
    }

    /// What sounds now besides a part.
    fn moment(&self, onset: Quarters, part: usize) -> Moment {
        let own = self.parts.get(part).and_then(Voice::weight);
        let others = self.at.iter().map(|(dynamic, units)| {
            let of_own = own
                .filter(|(own, _)| own == dynamic)
                .map_or(0, |(_, units)| units);
            (*dynamic, units.saturating_sub(of_own))
        });
        let mut classes = 0;
        for (class, notes) in self.classes.iter().enumerate() {
            classes |= u16::from(*notes > 0) << class;
        }
        Moment {
            onset,
            loudness: others.filter(|(_, units)| *units > 0).collect(),
            harmony: Harmony(classes),
        }
    }
}
