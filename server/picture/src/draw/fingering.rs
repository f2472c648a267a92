//! How each note is fingered and which partial it is, below the staff, where it is asked for.

use std::io;

use horn::{Fingering, Side};
use reading::{Hand, PlayedNote};

use super::Scene;
use crate::ink::{Ink, width_of};

/// The size of the letters.
const SIZE: f64 = 9.0;

pub(super) fn draw(ink: &mut Ink<'_>, scene: &Scene<'_, '_>) -> io::Result<()> {
    if !scene.options.fingering {
        return Ok(());
    }
    let horn = scene.subject.horn;
    for seen in scene.chords() {
        let notes = seen.chord.heads.iter().filter_map(|head| head.note);
        let notes = notes.filter_map(|note| horn.notes.get(note));
        for note in notes.filter(|note| !note.tied_from) {
            let Some(words) = best(scene, note).map(told) else {
                continue;
            };
            let wide = width_of(&words, SIZE);
            let left = (seen.middle() - wide / 2.0).max(0.0);
            let top = ink.room_below(left, left + wide, SIZE);
            ink.text("fingering", (left, top + SIZE - 1.5), &words)?;
        }
    }
    Ok(())
}

/// The first way to finger a note with the hand that it is played with.
fn best(scene: &Scene<'_, '_>, note: &PlayedNote) -> Option<Fingering> {
    let instrument = scene.subject.horn.seat.instrument;
    match note.technique.hand {
        Hand::Open => horn::fingerings(instrument, note.height).first().copied(),
        Hand::Stopped => horn::stopped_fingering(instrument, note.height)?
            .first()
            .copied(),
        Hand::HalfStopped => horn::half_stopped_fingering(instrument, note.height)
            .value
            .first()
            .copied(),
    }
}

/// `F12/8`: the side, the valves and the partial.
fn told(way: Fingering) -> String {
    let side = match way.tube.side {
        Side::F => "F",
        Side::BFlat => "B♭",
        Side::HighF => "f",
    };
    format!("{side}{}/{}", way.tube.valves, way.partial)
}
