//! Intervals by steps and semitones, and the transposition that ties a written pitch to its sound.

use std::ops::Neg;

use crate::pitch::{Pitch, SoundingPitch, WrittenPitch};

/// A directed interval: staff steps and semitones, both negative downwards.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Interval {
    /// Diatonic steps; 4 is a fifth up.
    pub steps: i32,
    /// Semitones; 7 is a perfect fifth up.
    pub semitones: i32,
}

impl Interval {
    /// No distance at all.
    pub const UNISON: Self = Self {
        steps: 0,
        semitones: 0,
    };
    /// A perfect octave up.
    pub const OCTAVE: Self = Self {
        steps: 7,
        semitones: 12,
    };

    /// An interval from its steps and semitones.
    #[must_use]
    pub const fn new(steps: i32, semitones: i32) -> Self {
        Self { steps, semitones }
    }

    /// Whether so many semitones can be of so many steps: perfect, major or minor, augmented or diminished.
    #[must_use]
    pub const fn is_possible(self) -> bool {
        let (steps, semitones) = if self.steps < 0 || (self.steps == 0 && self.semitones < 0) {
            (-self.steps, -self.semitones)
        } else {
            (self.steps, self.semitones)
        };
        let class = steps.rem_euclid(7) as usize;
        let natural = [0, 2, 4, 5, 7, 9, 11][class] + 12 * steps.div_euclid(7);
        // A unison, fourth and fifth are perfect or altered; the others are major, minor, or altered.
        let least = if matches!(class, 0 | 3 | 4) { -1 } else { -2 };
        let off = semitones - natural;
        least <= off && off <= 1
    }

    /// The interval that leads from one pitch to another.
    #[must_use]
    pub const fn between(from: Pitch, to: Pitch) -> Self {
        Self {
            steps: to.staff_steps() - from.staff_steps(),
            semitones: to.midi() - from.midi(),
        }
    }

    /// The commonest spelling of a number of semitones, by the circle of fifths' nearer side.
    ///
    /// A source that gives semitones only (ABC 2.1 `transpose=`) leaves the steps open; a horn's crook
    /// names them, and this is the answer when nothing does.
    #[must_use]
    pub const fn from_semitones(semitones: i32) -> Self {
        let steps = [0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6];
        let class = semitones.rem_euclid(12);
        let octaves = semitones.div_euclid(12);
        Self {
            steps: steps[class as usize] + 7 * octaves,
            semitones,
        }
    }

    /// What a musician calls so many semitones, up or down and however spelled, with its article: `an octave`.
    #[must_use]
    pub const fn spoken(semitones: i32) -> &'static str {
        match semitones.unsigned_abs() {
            0 => "a unison",
            1 => "a half step",
            2 => "a whole step",
            3 | 4 => "a third",
            5 => "a fourth",
            6 => "a tritone",
            7 => "a fifth",
            8 | 9 => "a sixth",
            10 | 11 => "a seventh",
            12 => "an octave",
            13 | 14 => "a ninth",
            15 | 16 => "a tenth",
            17 => "an eleventh",
            18 => "an octave and a tritone",
            19 => "a twelfth",
            20 | 21 => "a thirteenth",
            22 | 23 => "a fourteenth",
            24 => "two octaves",
            _ => "more than two octaves",
        }
    }

    /// How many steps along the line of fifths the interval moves a key; a fifth up is 1.
    #[must_use]
    pub const fn fifths(self) -> i32 {
        // A step of the letter costs 2 fifths less an octave; the semitones left over are chromatic (7 fifths each).
        let octaves = self.steps.div_euclid(7);
        let natural = [0, 2, 4, 5, 7, 9, 11][self.steps.rem_euclid(7) as usize] + 12 * octaves;
        let letter_fifths = [0, 2, 4, -1, 1, 3, 5][self.steps.rem_euclid(7) as usize];
        letter_fifths + 7 * (self.semitones - natural)
    }
}

impl Neg for Interval {
    type Output = Self;

    fn neg(self) -> Self {
        Self {
            steps: -self.steps,
            semitones: -self.semitones,
        }
    }
}

impl std::ops::Add for Interval {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self {
            steps: self.steps + other.steps,
            semitones: self.semitones + other.semitones,
        }
    }
}

/// What must be added to a written pitch to get its sound; a horn in F is a fifth down.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Transposition(pub Interval);

impl Transposition {
    /// Sounds as written.
    pub const CONCERT: Self = Self(Interval::UNISON);

    /// The sound of a written pitch.
    #[must_use]
    pub fn sound(self, written: WrittenPitch) -> SoundingPitch {
        SoundingPitch(written.0.transposed(self.0))
    }

    /// The written pitch for a sound.
    #[must_use]
    pub fn write(self, sounding: SoundingPitch) -> WrittenPitch {
        WrittenPitch(sounding.0.transposed(-self.0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn horn_in_f_sounds_a_fifth_lower() {
        let f = Transposition(Interval::new(-4, -7));
        let written: WrittenPitch = "C4".parse().unwrap();
        assert_eq!(f.sound(written).to_string(), "F3");
        assert_eq!(f.write(f.sound(written)), written);
    }

    #[test]
    fn spelled_by_steps() {
        let up_a_minor_third = Interval::new(2, 3);
        let pitch: Pitch = "F#4".parse().unwrap();
        assert_eq!(pitch.transposed(up_a_minor_third).to_string(), "A4");
        let e_flat: Pitch = "Eb4".parse().unwrap();
        assert_eq!(e_flat.transposed(up_a_minor_third).to_string(), "Gb4");
    }

    #[test]
    fn fifths_of_common_intervals() {
        for (steps, semitones, fifths) in [
            (4, 7, 1),
            (-4, -7, -1),
            (3, 5, -1),
            (1, 2, 2),
            (2, 3, -3),
            (0, 1, 7),
            (7, 12, 0),
            (-8, -14, -2),
        ] {
            assert_eq!(
                Interval::new(steps, semitones).fifths(),
                fifths,
                "{steps} steps, {semitones} semitones"
            );
        }
    }

    #[test]
    fn intervals_are_spoken_as_musicians_do() {
        for (semitones, spoken) in [
            (10, "a seventh"),
            (12, "an octave"),
            (-12, "an octave"),
            (15, "a tenth"),
            (16, "a tenth"),
            (18, "an octave and a tritone"),
            (19, "a twelfth"),
            (24, "two octaves"),
            (25, "more than two octaves"),
            (i32::MIN, "more than two octaves"),
        ] {
            assert_eq!(Interval::spoken(semitones), spoken, "{semitones}");
        }
        // Each interval of the scale within two octaves has the name its letters give it.
        for (steps, name) in [
            (8, "a ninth"),
            (9, "a tenth"),
            (11, "a twelfth"),
            (12, "a thirteenth"),
        ] {
            let c4: Pitch = "C4".parse().unwrap();
            let letter = crate::pitch::Letter::from_steps(steps);
            let above = Pitch::new(letter, 0, 5);
            assert_eq!(
                Interval::spoken(Interval::between(c4, above).semitones),
                name
            );
        }
    }

    #[test]
    fn intervals_that_there_are() {
        for (steps, semitones) in [
            (4, 7),
            (6, 9),
            (6, 10),
            (6, 11),
            (5, 9),
            (2, 4),
            (-2, -3),
            (-6, -9),
            (0, 0),
            (0, 1),
            (0, -1),
            (4, 6),
            (3, 6),
            (2, 2),
            (7, 12),
            (8, 14),
            (-8, -13),
        ] {
            assert!(
                Interval::new(steps, semitones).is_possible(),
                "{steps} {semitones}"
            );
        }
        for (steps, semitones) in [(4, 9), (6, 8), (3, 3), (0, 2), (4, -7), (1, 4), (7, 10)] {
            assert!(
                !Interval::new(steps, semitones).is_possible(),
                "{steps} {semitones}"
            );
        }
    }

    #[test]
    fn semitones_find_their_steps() {
        for (semitones, steps) in [
            (-7, -4),
            (-9, -5),
            (-10, -6),
            (-2, -1),
            (-14, -8),
            (-12, -7),
            (0, 0),
            (-5, -3),
        ] {
            assert_eq!(
                Interval::from_semitones(semitones).steps,
                steps,
                "{semitones}"
            );
        }
    }
}
