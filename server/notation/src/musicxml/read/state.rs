//! All that one measure of a part hands to the next.

use score::bounds::MOST_LAYERS;
use theory::{Key, Meter};

use crate::digest::digest;

/// What is in force in a part at the start of a measure.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(crate) struct State {
    /// How many units of `duration` make a quarter note.
    pub(super) divisions: i64,
    /// The key of each staff, the first staff's first.
    pub(super) keys: Vec<Key>,
    pub(super) meter: Option<Meter>,
    /// Whether the score is at concert pitch, so that its notes are what sounds.
    pub(super) concert: bool,
    /// Open slurs: the line they belong to and their number.
    pub(super) slurs: Vec<(u8, u8)>,
    /// The voices by the order in which they first came; the first is the main line.
    pub(super) voices: Vec<String>,
}

/// What notes are in that name no voice.
const FIRST_VOICE: &str = "1";
/// Letters by which voices are told apart.
const LONGEST_VOICE: usize = 32;
/// No more staves of one part than this are kept apart.
const MOST_STAVES: usize = 16;

impl State {
    /// What holds at the start of a part; `concert` as for the field.
    pub(super) fn at_start(concert: bool) -> Self {
        Self {
            divisions: 1,
            keys: vec![Key::NONE],
            meter: None,
            concert,
            slurs: Vec::new(),
            voices: Vec::new(),
        }
    }

    /// The key of a staff, counted from 1.
    pub(super) fn key(&self, staff: usize) -> Key {
        let place = staff.clamp(1, MOST_STAVES) - 1;
        let key = self.keys.get(place).or(self.keys.first());
        key.copied().unwrap_or(Key::NONE)
    }

    /// Sets the key of a staff, counted from 1, or of all.
    pub(super) fn set_key(&mut self, staff: Option<usize>, key: Key) {
        let Some(staff) = staff else {
            self.keys = vec![key];
            return;
        };
        let place = staff.clamp(1, MOST_STAVES) - 1;
        let first = self.key(1);
        if self.keys.len() <= place {
            self.keys.resize(place + 1, first);
        }
        self.keys[place] = key;
    }

    /// The line a voice is, the main one being 0; notes that name none are in voice 1. Those beyond the most lines of a
    /// part are in its last.
    pub(super) fn layer(&mut self, voice: Option<&str>) -> u8 {
        let voice = line(voice).to_owned();
        let place = self.voices.iter().position(|known| *known == voice);
        let place = place.unwrap_or_else(|| {
            if self.voices.len() < usize::from(MOST_LAYERS) {
                self.voices.push(voice);
            }
            self.voices.len() - 1
        });
        u8::try_from(place).unwrap_or(MOST_LAYERS - 1)
    }

    /// The line a voice is, where it is one already; the first voice of a part is its main line.
    pub(super) fn known_layer(&mut self, voice: Option<&str>) -> Option<u8> {
        let wanted = line(voice);
        if self.voices.is_empty() && wanted == FIRST_VOICE {
            return Some(self.layer(voice));
        }
        let place = self.voices.iter().position(|known| known == wanted);
        place.and_then(|place| u8::try_from(place).ok())
    }

    /// Whether a voice has, or would find, a line of its own.
    pub(super) fn has_line(&self, voice: Option<&str>) -> bool {
        let voice = line(voice);
        self.voices.len() < usize::from(MOST_LAYERS)
            || self.voices.iter().any(|known| known == voice)
    }

    /// What stands for the whole state, twice hashed, so that chance meetings are out of the question.
    pub(super) fn digest(&self) -> u128 {
        digest(self)
    }
}

/// What a voice is told apart by.
fn line(voice: Option<&str>) -> &str {
    let voice = voice.unwrap_or(FIRST_VOICE);
    let end = voice.char_indices().nth(LONGEST_VOICE);
    end.map_or(voice, |(end, _)| &voice[..end])
}
