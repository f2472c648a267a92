//! Small notes: when they are played, and what they take from the note before.

use theory::Seconds;

use super::Heard;
use crate::note::PlayedNote;

/// How many sounds before them may last into them: the other notes of a chord, other lines.
const BEFORE: usize = 8;

/// Puts small notes before the beat of the note that they lead to.
pub(super) fn place(sounds: &mut [Heard], notes: &[&PlayedNote]) {
    let small = |sound: &Heard| {
        let first = sound.notes.first()?;
        let note = notes.get(first.0)?;
        note.grace.then_some(note.onset)
    };
    let Seconds(longest) = horn::time_for_small_note().value;
    let Seconds(most) = horn::time_for_small_notes().value;
    let mut at = 0;
    while let Some(sound) = sounds.get(at) {
        let Some(onset) = small(sound) else {
            at += 1;
            continue;
        };
        let beat = sound.starts().0;
        let group = sounds.iter().skip(at);
        let count = group
            .take_while(|sound| small(sound) == Some(onset))
            .count();
        let (before, rest) = sounds.split_at_mut(at);
        let room = before.last().map_or(f64::MAX, |last| {
            let room = (beat - last.starts().0) * horn::share_for_small_notes().value;
            if room > 0.0 { room } else { f64::MAX }
        });
        let each = longest.min(most.min(room) / count as f64);
        let begin = beat - each * count as f64;
        for last in before.iter_mut().rev().take(BEFORE) {
            if last.ends.0 > begin && last.starts().0 < begin {
                last.ends = Seconds(begin);
            }
        }
        for (place, sound) in rest.iter_mut().take(count).enumerate() {
            let starts = Seconds(begin + each * place as f64);
            sound.notes.truncate(1);
            sound.loudness.truncate(1);
            if let Some((_, at)) = sound.notes.first_mut() {
                *at = starts;
            }
            if let Some((at, _)) = sound.loudness.first_mut() {
                *at = starts;
            }
            sound.ends = Seconds(starts.0 + each);
        }
        at += count;
    }
}
