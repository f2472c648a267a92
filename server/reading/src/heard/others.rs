//! What is to be heard of parts that are no horn's: their notes as they are performed, held ones as one.

use horn::Loudness;
use score::{EventKind, Part};
use theory::{Quarters, Seconds};

use crate::orchestra::Curve;
use crate::performed::{Performed, Turn};
use crate::piece::PieceReading;
use crate::sounding::Sounding;

/// A sound of a part that is no horn's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OtherSound {
    /// When it begins, from the first bar on.
    pub starts: Seconds,
    /// When it ends.
    pub ends: Seconds,
    /// Its pitch in the room, as a MIDI number.
    pub midi: i32,
    /// How loud it begins; that of horns where nothing says so.
    pub loudness: Loudness,
}

/// A note as it stands on the page.
struct Written {
    bar: usize,
    onset: Quarters,
    end: Quarters,
    midi: i32,
    tied_from: bool,
    tied_to: bool,
}

impl PieceReading {
    /// What is to be heard of a part that is no horn's, by its place in the piece, played like this, in the order of time.
    /// Small notes before a beat are left out.
    #[must_use]
    pub fn heard_other(&self, part: usize, performed: &Performed) -> Vec<OtherSound> {
        let Some(part) = self.piece.parts.get(part) else {
            return Vec::new();
        };
        let (notes, curve) = (written(part), Curve::of(part));
        let mut sounds = Vec::with_capacity(notes.len());
        for turn in &performed.turns {
            let place = |bar| notes.partition_point(|note| note.bar < bar);
            let page = notes.get(place(turn.bars.start)..place(turn.bars.end));
            self.play(page.unwrap_or_default(), turn, &curve, &mut sounds);
        }
        sounds.sort_by(|one, other| one.starts.0.total_cmp(&other.starts.0));
        sounds
    }

    /// Plays a stretch of the page.
    fn play(&self, page: &[Written], turn: &Turn, curve: &Curve, sounds: &mut Vec<OtherSound>) {
        // What is held on: where on the page it ends, its pitch, and its place among the sounds.
        let mut held: Vec<(Quarters, i32, usize)> = Vec::new();
        for note in page {
            let at = |onset| Seconds(self.tempo.seconds(onset).0 + turn.later.0);
            held.retain(|(end, ..)| *end >= note.onset);
            let goes_on = held.iter().position(|(end, midi, _)| {
                note.tied_from && (*end, *midi) == (note.onset, note.midi)
            });
            let place = match goes_on.map(|at| held.swap_remove(at)) {
                Some((_, _, place)) => place,
                None => {
                    let loudness = curve.between(note.onset, note.end);
                    let loudness = loudness.first().map(|(_, loudness)| *loudness);
                    sounds.push(OtherSound {
                        starts: at(note.onset),
                        ends: at(note.end),
                        midi: note.midi,
                        loudness: loudness.unwrap_or(horn::loudness_where_none_is_marked().value),
                    });
                    sounds.len() - 1
                }
            };
            if let Some(sound) = sounds.get_mut(place) {
                sound.ends = at(note.end);
            }
            if note.tied_to {
                held.push((note.end, note.midi, place));
            }
        }
    }
}

/// The notes of a part, in the order of its bars.
fn written(part: &Part) -> Vec<Written> {
    let mut sounding = Sounding::before(part, 0);
    let mut notes = Vec::new();
    for placed in part.events() {
        let sounds_as = sounding.next(placed.event);
        if let (EventKind::Note(note), Some(pitch)) = (&placed.event.kind, sounds_as)
            && note.length > Quarters::ZERO
            && !note.grace
        {
            notes.push(Written {
                bar: placed.bar,
                onset: placed.onset,
                end: placed.onset + note.length,
                midi: pitch.midi(),
                tied_from: note.tied_from,
                tied_to: note.tied_to,
            });
        }
    }
    notes.sort_by_key(|note| (note.bar, note.onset));
    notes
}
