//! The line that a player can hold on to while waiting for an entry.

use std::collections::BTreeSet;

use horn::{Beside, Family, Height};
use theory::{Quarters, SoundingPitch, WrittenPitch};

use super::sounds::Sound;
use crate::note::PlayedNote;
use crate::part::HornPart;
use crate::piece::PieceReading;

/// A line to cue.
#[derive(Debug, Clone, PartialEq)]
pub struct Cue {
    /// The part that plays it, by its place in the piece.
    pub part: usize,
    /// When its first note begins, in quarter notes from the start of the piece.
    pub begins: Quarters,
    /// Its last note before the entry, as this horn's player would read it.
    pub last: WrittenPitch,
}

/// Quarter notes before an entry within which a cue is looked for. This project's choice: two bars.
const WINDOW: i64 = 8;

/// Quarter notes before that in which a note may begin that is held into it. This project's choice: eight bars.
const HELD: i64 = 32;

/// How much of that time a line must sound to be held on to. This project's choice: half.
const LEAST: f64 = 0.5;

impl PieceReading {
    /// The line to cue before an entry: of all that sounds in the two bars before it, what rests least, is heard best,
    /// moves, differs in colour and lies where a horn player reads easily; `None` where nothing does.
    ///
    /// The first four are common practice, how they are weighed against each other is this project's choice.
    #[must_use]
    pub fn cue_before(&self, horn: &HornPart, entry: &PlayedNote) -> Option<Cue> {
        let from = (entry.onset - Quarters::whole(WINDOW)).max(Quarters::ZERO);
        let window = (entry.onset - from).to_f64();
        let lines = self.lines().iter().enumerate();
        let lines = lines.filter_map(|(index, line)| {
            let instrument = self.instrument(index)?;
            // Another horn is no other colour, and counts rests too; a drum has no line.
            if matches!(instrument, Beside::Horn | Beside::Percussion) || window <= 0.0 {
                return None;
            }
            let early = from - Quarters::whole(HELD);
            let start = line.sounds.partition_point(|sound| sound.onset < early);
            let near = line.sounds.iter().skip(start);
            let heard: Vec<&Sound> = near
                .take_while(|sound| sound.onset < entry.onset)
                .filter(|sound| sound.end > from)
                .collect();
            let share = sounding(&heard, from, entry.onset) / window;
            let last = heard.iter().max_by_key(|sound| (sound.onset, sound.midi))?;
            if share < LEAST {
                return None;
            }
            let loudness = line.curve.at_once(last.onset);
            let family = match instrument.family() {
                Family::Others => Family::Woodwind,
                family => family,
            };
            let force = loudness.map_or(0.0, |(loudness, _)| family.force(loudness));
            let pitches: BTreeSet<i32> = heard.iter().map(|sound| sound.midi).collect();
            let moves = if pitches.len() > 2 { 1.0 } else { 0.0 };
            let reads = if easily_read(last.midi) { 1.0 } else { 0.0 };
            let worth = share + moves + reads + force / (force + 8.0);
            let begins = heard.first().map(|sound| sound.onset.max(from))?;
            Some((worth, index, begins, last.midi))
        });
        // Of several that are worth the same, the first of the score.
        let (_, part, begins, midi) =
            lines.reduce(|best, one| if one.0 > best.0 { one } else { best })?;
        let flats = horn.crook_at(entry.onset).transposition;
        let sound = SoundingPitch(theory::Pitch::from_midi(midi, false));
        Some(Cue {
            part,
            begins,
            last: WrittenPitch(flats.write(sound).0.plain()),
        })
    }
}

/// For how long anything sounds in a stretch, in quarter notes.
fn sounding(sounds: &[&Sound], from: Quarters, to: Quarters) -> f64 {
    let mut until = from;
    let mut all = Quarters::ZERO;
    for sound in sounds {
        let begins = sound.onset.max(until);
        let ends = sound.end.min(to);
        if ends > begins {
            all += ends - begins;
            until = ends;
        }
    }
    all.to_f64()
}

/// Whether a sound lies on or near the five lines as a horn in F reads it: from C4 to A5. This project's choice.
fn easily_read(midi: i32) -> bool {
    let height = |letter, octave| Height::new(letter, 0, octave).sound().midi();
    (height(theory::Letter::C, 4)..=height(theory::Letter::A, 5)).contains(&midi)
}
