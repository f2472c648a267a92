//! One walk through all parts together, which stops wherever a horn's note begins.

use horn::{Family, Loudness, OrchestraInstrument};
use theory::Quarters;

use super::loudness::Curve;
use super::sounds::Sound;
use super::{Harmony, Line, Playing};
use crate::piece::PieceReading;

/// All moments at which a horn's note begins, in the order of time.
#[derive(Debug, Clone, Default)]
pub(crate) struct Moments(Vec<Moment>);

/// What sounds at one moment.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Moment {
    onset: Quarters,
    /// The parts that sound, in score order.
    pub(super) playing: Vec<Voice>,
    pub(super) harmony: Harmony,
}

/// A part that sounds at a moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Voice {
    pub(super) part: usize,
    instrument: Option<OrchestraInstrument>,
    /// Whether one player plays alone, where a section of strings would.
    alone: bool,
    /// How loud it is, and when it was last marked.
    pub(super) loudness: Option<(Loudness, Quarters)>,
    /// Its sounds, a bit for each MIDI number.
    sounds: u128,
    /// Its pitch classes, a bit for each.
    classes: u16,
    begins: bool,
}

impl Voice {
    /// How many notes it sounds.
    pub(super) const fn notes(&self) -> usize {
        self.sounds.count_ones() as usize
    }

    /// Seen from a note of another part.
    pub(super) fn seen_from(&self, midi: i32) -> Playing {
        // What nobody knows weighs as a woodwind instrument does.
        let family = self
            .instrument
            .map_or(Family::Woodwind, OrchestraInstrument::family);
        let family = match family {
            Family::Strings if self.alone => Family::Woodwind,
            family => family,
        };
        let many = match family {
            // Those who share a part of strings share its force.
            Family::Strings => 1,
            _ => self.notes(),
        };
        let loudness = self.loudness.map(|(loudness, _)| loudness);
        let force = loudness.map(|loudness| family.force(loudness) * many as f64);
        Playing {
            part: self.part,
            instrument: self.instrument,
            loudness,
            force,
            sounds: self.notes(),
            unison: self.sounds & bit(midi) != 0,
            same_class: Harmony(self.classes).has(midi),
            begins: self.begins,
        }
    }
}

impl Moment {
    /// A part that sounds.
    pub(super) fn voice(&self, part: usize) -> Option<&Voice> {
        let place = self.playing.binary_search_by_key(&part, |voice| voice.part);
        self.playing.get(place.ok()?)
    }
}

/// The bit of a sound; none for what no instrument plays.
fn bit(midi: i32) -> u128 {
    match u32::try_from(midi) {
        Ok(midi) => 1_u128.checked_shl(midi).unwrap_or(0),
        Err(_) => 0,
    }
}

/// The pitch classes of sounds.
const fn classes(sounds: u128) -> u16 {
    let (mut left, mut classes) = (sounds, 0);
    while left != 0 {
        classes |= 1 << (left.trailing_zeros() % 12);
        left &= left - 1;
    }
    classes
}

/// A part, walked through.
struct Walk<'a> {
    part: usize,
    instrument: Option<OrchestraInstrument>,
    alone: bool,
    curve: &'a Curve,
    /// How far the curve has been followed.
    along: usize,
    sounds: &'a [Sound],
    /// The first sound that has not begun.
    next: usize,
    /// What sounds.
    held: Vec<Sound>,
}

impl<'a> Walk<'a> {
    fn of(reading: &'a PieceReading, part: usize, line: &'a Line) -> Self {
        Self {
            part,
            instrument: reading.instrument(part),
            alone: horn::is_for_one(&reading.label(part)),
            curve: &line.curve,
            along: 0,
            sounds: &line.sounds,
            next: 0,
            held: Vec::new(),
        }
    }

    /// What it plays at a moment, none of which was asked for before.
    fn at(&mut self, onset: Quarters) -> Option<Voice> {
        while let Some(sound) = self
            .sounds
            .get(self.next)
            .filter(|sound| sound.onset <= onset)
        {
            self.held.push(*sound);
            self.next += 1;
        }
        self.held.retain(|sound| sound.end > onset);
        let sounds = self
            .held
            .iter()
            .fold(0, |sounds, sound| sounds | bit(sound.midi()));
        (sounds != 0).then(|| Voice {
            part: self.part,
            instrument: self.instrument,
            alone: self.alone,
            loudness: self.curve.at(onset, &mut self.along),
            sounds,
            classes: classes(sounds),
            begins: self.held.iter().any(|sound| sound.onset == onset),
        })
    }
}

impl Moments {
    /// Walks through a piece.
    pub(super) fn of(reading: &PieceReading) -> Self {
        let notes = reading.horns.iter().flat_map(|horn| horn.notes.iter());
        let mut asked: Vec<Quarters> = notes.map(|note| note.onset).collect();
        asked.sort_unstable();
        asked.dedup();
        let lines = reading.lines().iter().enumerate();
        let walks = lines.map(|(part, line)| Walk::of(reading, part, line));
        let mut walks: Vec<Walk<'_>> = walks.collect();
        let moments = asked.into_iter().map(|onset| {
            let playing: Vec<Voice> = walks.iter_mut().filter_map(|walk| walk.at(onset)).collect();
            let classes = playing
                .iter()
                .fold(0, |classes, voice| classes | voice.classes);
            Moment {
                onset,
                playing,
                harmony: Harmony(classes),
            }
        });
        Self(moments.collect())
    }

    /// What sounds at a moment at which a horn's note begins.
    pub(super) fn at(&self, onset: Quarters) -> Option<&Moment> {
        let place = self.0.binary_search_by_key(&onset, |moment| moment.onset);
        self.0.get(place.ok()?)
    }
}
