//! What is to be heard of a horn part, as pages and editors are told it: sounds in the order of time, each with the drawn
//! notes that it is read from.

use horn::{Dynamic, Loudness};
use reading::{Hand, Heard, HornPart, Mute, PieceReading, Technique, Tone};
use serde::Serialize;
use theory::Seconds;

/// What is to be heard of a part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Sound {
    /// What the part is called.
    part: String,
    /// Its sounds, in the order of time.
    sounds: Vec<One>,
}

/// One sound. Times are seconds from the beginning.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct One {
    /// The drawn notes, and when each begins; after the first they are held on.
    notes: Vec<Drawn>,
    ends: f64,
    hertz: f64,
    /// When it comes to which further pitch, in hertz: the partials of a rip.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    steps: Vec<[f64; 2]>,
    /// When it is how loud, from 0 for silence to 1 for fff, growing evenly from one to the next.
    loudness: Vec<[f64; 2]>,
    technique: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    tone: Option<&'static str>,
    /// Whether it is slurred from the sound before.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    slurred: bool,
    /// The number of the bar it begins in.
    bar: u32,
}

/// A drawn note of a sound.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct Drawn {
    id: String,
    starts: f64,
}

impl Sound {
    /// What is to be heard of a part; `names` is what the names of its drawn notes begin with.
    #[must_use]
    pub fn of(reading: &PieceReading, horn: &HornPart, names: &str) -> Self {
        let heard = reading.heard(horn);
        // All else waits for small notes at the very beginning.
        let early = heard.iter().map(|sound| sound.starts().0);
        let early = early.fold(0.0, f64::min);
        let sounds = heard.iter();
        let sounds = sounds.map(|sound| one(sound, -early, horn, names));
        Self {
            part: horn.label.clone(),
            sounds: sounds.collect(),
        }
    }
}

/// A sound, so many seconds later than it is performed.
fn one(sound: &Heard, later: f64, horn: &HornPart, names: &str) -> One {
    let seconds = |at: Seconds| seconds(Seconds(at.0 + later));
    let notes = sound.notes.iter();
    let first = sound.notes.first();
    let first = first.and_then(|(note, _)| horn.notes.get(*note));
    let steps = sound.steps.iter();
    let loudness = sound.loudness.iter();
    One {
        notes: notes
            .map(|(note, starts)| Drawn {
                id: picture::note_id(names, *note),
                starts: seconds(*starts),
            })
            .collect(),
        ends: seconds(sound.ends),
        hertz: thousandths(sound.hertz),
        steps: steps
            .map(|(at, hertz)| [seconds(*at), thousandths(*hertz)])
            .collect(),
        loudness: loudness
            .map(|(at, loudness)| [seconds(*at), thousandths(share(*loudness))])
            .collect(),
        technique: technique(&sound.technique),
        tone: match sound.technique.tone {
            Tone::Usual => None,
            Tone::Brassy => Some("brassy"),
            Tone::Flutter => Some("flutter"),
        },
        slurred: sound.slurred,
        bar: first.map_or(0, |note| note.number),
    }
}

/// Finer than anybody hears.
fn thousandths(value: f64) -> f64 {
    (value * 1000.0).round() / 1000.0
}

/// Tenths of a thousandth of a second: shorter than a period of the highest note.
fn seconds(at: Seconds) -> f64 {
    (at.0 * 10_000.0).round() / 10_000.0
}

/// A loudness from 0 for silence to 1 for fff, the loudest that is told apart.
fn share(loudness: Loudness) -> f64 {
    let [silent, loudest] = [Dynamic::NIENTE, Dynamic::FFF].map(|mark| Loudness::of(mark).0);
    ((loudness.0 - silent) / (loudest - silent)).clamp(0.0, 1.0)
}

/// How hand and mute make it sound; a stopping mute sounds as the hand does.
const fn technique(technique: &Technique) -> &'static str {
    match (technique.hand, technique.mute) {
        (Hand::Stopped, _) | (Hand::Open, Mute::Stopping) => "stopped",
        (Hand::HalfStopped, _) => "half-stopped",
        (Hand::Open, Mute::Usual) => "muted",
        (Hand::Open, Mute::Out) => "open",
    }
}
