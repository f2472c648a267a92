//! The octave of a crook whose name leaves it open, by the compass of the notes it is for.

use horn::{ClefConvention, Crook, Height, Level, highest, lowest};

use super::{Sung, is_old_bass};

/// The crook that keeps the notes within the compass; of several, the lower, which later music mostly means when it
/// does not say.
///
/// Where the notes in the file are what sounds, the page they make must stay within the compass.
pub(super) fn within_compass(
    choices: &[Crook],
    notes: &[Sung<'_>],
    convention: ClefConvention,
) -> Option<Crook> {
    if let [only] = choices {
        return Some(*only);
    }
    let top = highest(Level::Professional).value.midi();
    let bottom = lowest(Level::Professional).value.midi();
    let outside = |crook: Crook| {
        let beyond = |note: &&Sung<'_>| {
            let old = is_old_bass(convention, note.bass);
            let height = match note.sounding {
                Some(sounding) => crook.transposition().write(sounding).midi(),
                None => {
                    let sounding = crook.transposition().sound(note.note.written);
                    Height::of(sounding.octaves_up(i8::from(old))).midi()
                }
            };
            !(bottom..=top).contains(&height)
        };
        notes.iter().filter(beyond).count()
    };
    choices
        .iter()
        .copied()
        .min_by_key(|crook| (outside(*crook), crook.transposition().0.semitones))
}
