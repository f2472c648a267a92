//! When each note is played first, below the staff, where it is asked for.

use std::io;

use theory::Seconds;

use super::Scene;
use crate::ink::{Ink, width_of};

/// The size of the figures.
const SIZE: f64 = 9.0;

pub(super) fn draw(ink: &mut Ink<'_>, scene: &Scene<'_, '_>) -> io::Result<()> {
    let notes = &scene.subject.horn.notes;
    for seen in scene.chords() {
        let attacked = seen.chord.heads.iter().filter_map(|head| head.note);
        let attacked = attacked.filter(|note| notes.get(*note).is_some_and(|note| !note.tied_from));
        // The notes of a chord begin together.
        let mut times = attacked.filter_map(|note| scene.times.get(note).copied().flatten());
        let Some(time) = times.next() else {
            continue;
        };
        let words = told(time);
        let wide = width_of(&words, SIZE);
        let left = (seen.middle() - wide / 2.0).max(0.0);
        let top = ink.room_below(left, left + wide, SIZE);
        ink.text("seconds", (left, top + SIZE - 1.5), &words)?;
    }
    Ok(())
}

/// `1:04.2`: minutes where there are any, and seconds to a tenth.
fn told(time: Seconds) -> String {
    let tenths = (time.0 * 10.0).round().max(0.0);
    let (minutes, seconds) = ((tenths / 600.0).floor(), tenths % 600.0 / 10.0);
    if minutes > 0.0 {
        format!("{minutes}:{seconds:04.1}")
    } else {
        format!("{seconds:.1}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn minutes_are_told_where_there_are_any() {
        for (seconds, words) in [
            (0.0, "0.0"),
            (9.96, "10.0"),
            (59.94, "59.9"),
            (59.96, "1:00.0"),
            (64.2, "1:04.2"),
            (600.0, "10:00.0"),
        ] {
            assert_eq!(told(Seconds(seconds)), words);
        }
    }
}
