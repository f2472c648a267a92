//! Pitch, interval, key, time and tempo: what every other room speaks in, with no instrument and no I/O.

mod interval;
mod key;
mod page_pitch;
mod pitch;
mod spelling;
mod tempo;
mod time;

pub use interval::{Interval, Transposition};
pub use key::{Key, LINE_OF_FIFTHS_LIMIT, Mode};
pub use page_pitch::PagePitch;
pub use pitch::{Alteration, Letter, ParsePitchError, Pitch, SoundingPitch, WrittenPitch};
pub use spelling::{accidentals, is_white_by_black, moved_signature, spellings, turns};
pub use tempo::{Seconds, Tempo, TempoMap, TempoSource};
pub use time::{Meter, Quarters};
