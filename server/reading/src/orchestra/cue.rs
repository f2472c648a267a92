//! The line that a player can hold on to while waiting for an entry.

use std::collections::BTreeSet;

use horn::{Family, Height, OrchestraInstrument};
use theory::{Quarters, WrittenPitch};

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

impl PieceReading {
    /// The line to cue before an entry: of all that sounds in the two bars before it, what rests least, is heard best,
    /// moves, differs in colour and lies where a horn player reads easily; `None` where nothing does.
    ///
    /// That a cue is wanted is common practice; how the five are weighed against each other is this project's choice.
    #[must_use]
    pub fn cue_before(&self, horn: &HornPart, entry: &PlayedNote) -> Option<Cue> {
        let from = (entry.onset - horn::cue_window().value).max(Quarters::ZERO);
        let window = (entry.onset - from).to_f64();
        let heights = horn::cue_heights().value;
        let lines = self.lines().iter().enumerate();
        let lines = lines.filter_map(|(index, line)| {
            let instrument = self.instrument(index)?;
            // Another horn is no other colour, and counts rests too; a drum has no line.
            if matches!(
                instrument,
                OrchestraInstrument::Horn | OrchestraInstrument::Percussion
            ) || window <= 0.0
            {
                return None;
            }
            let early = from - line.longest;
            let start = line.sounds.partition_point(|sound| sound.onset < early);
            let near = line.sounds.iter().skip(start);
            let heard: Vec<&Sound> = near
                .take_while(|sound| sound.onset < entry.onset)
                .filter(|sound| sound.end > from)
                .collect();
            let share = sounding(&heard, from, entry.onset) / window;
            let last = heard
                .iter()
                .max_by_key(|sound| (sound.onset, sound.midi()))?;
            if share < horn::cue_share().value {
                return None;
            }
            let loudness = line.curve.at_once(last.onset);
            // What nobody has weighed is heard as a woodwind instrument is.
            let family = match instrument.family() {
                Family::Others => Family::Woodwind,
                family => family,
            };
            let force = loudness.map_or(0.0, |(loudness, _)| family.force(loudness));
            let heard_well = horn::force_that_is_heard().value;
            let height = Height::of(last.pitch);
            let pitches: BTreeSet<i32> = heard.iter().map(|sound| sound.midi()).collect();
            let moves = if pitches.len() > 2 { 1.0 } else { 0.0 };
            let reads = if heights.contains(&height) { 1.0 } else { 0.0 };
            let worth = share + moves + reads + force / (force + heard_well);
            let begins = heard.first().map(|sound| sound.onset.max(from))?;
            Some((worth, index, begins, last.pitch))
        });
        // Of several that are worth the same, the first of the score.
        let (_, part, begins, last) =
            lines.reduce(|best, one| if one.0 > best.0 { one } else { best })?;
        let page = horn.on_page(horn.crook_at(entry.onset));
        Some(Cue {
            part,
            begins,
            last: WrittenPitch(page.write(last).0.plain()),
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
