//! Which spelling of an interval is easiest to read in a stretch of music: B major rather than C flat.

use crate::interval::Interval;
use crate::key::Key;
use crate::pitch::{Letter, Pitch};

/// What a double sharp or flat costs a reader, in single accidentals.
const DOUBLE: u32 = 4;

/// A white key by a black key's name costs as much as two accidentals.
const WHITE: u32 = 2;

/// The interval and its enharmonic neighbours, the interval itself first.
#[must_use]
pub const fn spellings(by: Interval) -> [Interval; 3] {
    [
        by,
        Interval::new(by.steps - 1, by.semitones),
        Interval::new(by.steps + 1, by.semitones),
    ]
}

/// A signature moved by an interval; `None` when it is none of the usual ones, or would need more than seven signs.
#[must_use]
pub fn moved_signature(key: &Key, by: Interval) -> Option<Key> {
    key.fifths()
        .map(|fifths| fifths + by.fifths())
        .filter(|fifths| fifths.abs() <= 7)
        .map(Key::from_fifths)
}

/// Whether sharps become flats, or flats sharps, from one signature to another.
#[must_use]
pub fn turns(from: &Key, to: &Key) -> bool {
    let side = |key: &Key| key.fifths().map_or(0, i32::signum);
    side(from) * side(to) < 0
}

/// What notes moved by an interval cost a reader of a page with this signature, in accidentals.
#[must_use]
pub fn accidentals(page: &Key, notes: impl Iterator<Item = Pitch>, by: Interval) -> u32 {
    notes.map(|note| read(note.transposed(by), page)).sum()
}

/// Whether a pitch is a white key by a black key's name, as E sharp is.
#[must_use]
pub const fn is_white_by_black(pitch: Pitch) -> bool {
    matches!(
        (pitch.letter, pitch.alteration.0),
        (Letter::E | Letter::B, 1) | (Letter::C | Letter::F, -1)
    )
}

/// What one note costs under a signature.
fn read(pitch: Pitch, key: &Key) -> u32 {
    if key.alteration(pitch.letter) == pitch.alteration {
        0
    } else if pitch.alteration.0.abs() > 1 {
        DOUBLE
    } else if is_white_by_black(pitch) {
        WHITE
    } else {
        1
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn notes(names: &str) -> impl Iterator<Item = Pitch> {
        names.split(' ').map(|name| name.parse().unwrap())
    }

    #[test]
    fn b_major_rather_than_c_flat() {
        // F major at concert pitch, for a horn in F sharp.
        let [up, other, _] = spellings(Interval::new(4, 6));
        assert_eq!(other, Interval::new(3, 6));
        let f_major = Key::from_fifths(-1);
        let flats = moved_signature(&f_major, up).unwrap();
        let sharps = moved_signature(&f_major, other).unwrap();
        assert_eq!((flats.fifths(), sharps.fifths()), (Some(-7), Some(5)));
        let scale = "F4 G4 A4 Bb4 C5";
        assert_eq!(accidentals(&sharps, notes(scale), other), 0);
        assert_eq!(accidentals(&Key::NONE, notes(scale), other), 3);
        assert_eq!(accidentals(&Key::NONE, notes(scale), up), 7);
    }

    #[test]
    fn some_spelling_needs_at_most_six_signs() {
        let mut tried = 0;
        for fifths in -7..=7 {
            for semitones in -16..=16 {
                let fewest = spellings(Interval::from_semitones(semitones))
                    .into_iter()
                    .filter_map(|by| moved_signature(&Key::from_fifths(fifths), by)?.fifths())
                    .map(i32::abs)
                    .min();
                assert!(
                    fewest.is_some_and(|signs| signs <= 6),
                    "{fifths} by {semitones}"
                );
                tried += 1;
            }
        }
        assert_eq!(tried, 15 * 33);
    }

    #[test]
    fn doubles_and_white_keys_by_black_names_cost_more() {
        let one = |name: &str| read(name.parse().unwrap(), &Key::NONE);
        assert_eq!(one("C4"), 0);
        assert_eq!(one("C#4"), 1);
        assert_eq!(one("E#4"), 2);
        assert_eq!(one("F##4"), 4);
        assert_eq!(read("E#4".parse().unwrap(), &Key::from_fifths(6)), 0);
    }
}
