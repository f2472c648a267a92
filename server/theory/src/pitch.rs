//! Spelled pitches, and the two types that keep what is written apart from what sounds.

use std::fmt;
use std::str::FromStr;

use crate::interval::Interval;

/// One of the seven note letters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Letter {
    /// C.
    C,
    /// D.
    D,
    /// E.
    E,
    /// F.
    F,
    /// G.
    G,
    /// A.
    A,
    /// B (the German H).
    B,
}

impl Letter {
    /// The seven letters upward from C.
    pub const ALL: [Self; 7] = [
        Self::C,
        Self::D,
        Self::E,
        Self::F,
        Self::G,
        Self::A,
        Self::B,
    ];

    /// Steps above C, 0 to 6.
    #[must_use]
    pub const fn steps(self) -> i32 {
        self as i32
    }

    /// Semitones above C of the natural note.
    #[must_use]
    pub const fn semitones(self) -> i32 {
        [0, 2, 4, 5, 7, 9, 11][self as usize]
    }

    /// The letter that lies `steps` above C, counted round the octave.
    #[must_use]
    pub const fn from_steps(steps: i32) -> Self {
        Self::ALL[steps.rem_euclid(7) as usize]
    }

    /// The letter of a character, in either case.
    #[must_use]
    pub const fn from_char(c: char) -> Option<Self> {
        Some(match c.to_ascii_uppercase() {
            'C' => Self::C,
            'D' => Self::D,
            'E' => Self::E,
            'F' => Self::F,
            'G' => Self::G,
            'A' => Self::A,
            'B' => Self::B,
            _ => return None,
        })
    }

    /// The capital letter.
    #[must_use]
    pub const fn as_char(self) -> char {
        ['C', 'D', 'E', 'F', 'G', 'A', 'B'][self as usize]
    }
}

/// An alteration in semitones: -2 double flat, 0 natural, 2 double sharp.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Alteration(pub i8);

impl Alteration {
    /// Not altered.
    pub const NATURAL: Self = Self(0);
    /// A semitone up.
    pub const SHARP: Self = Self(1);
    /// A semitone down.
    pub const FLAT: Self = Self(-1);
}

impl fmt::Display for Alteration {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (sign, count) = if self.0 < 0 {
            ("b", -self.0)
        } else {
            ("#", self.0)
        };
        (0..count).try_for_each(|_| f.write_str(sign))
    }
}

/// A spelled pitch in scientific notation: letter, alteration and octave, C4 being middle C.
///
/// On its own it says nothing of who reads it; scores carry [`WrittenPitch`] and [`SoundingPitch`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Pitch {
    /// The note letter.
    pub letter: Letter,
    /// The alteration in semitones.
    pub alteration: Alteration,
    /// The octave; C4 to B4 is the octave of middle C.
    pub octave: i8,
}

impl Pitch {
    /// A pitch from its parts.
    #[must_use]
    pub const fn new(letter: Letter, alteration: i8, octave: i8) -> Self {
        Self {
            letter,
            alteration: Alteration(alteration),
            octave,
        }
    }

    /// The MIDI note number, 60 for C4; it may leave 0..=127 for extreme octaves.
    #[must_use]
    pub const fn midi(self) -> i32 {
        (self.octave as i32 + 1) * 12 + self.letter.semitones() + self.alteration.0 as i32
    }

    /// Diatonic steps above C0, which order notes as they stand on a staff.
    #[must_use]
    pub const fn staff_steps(self) -> i32 {
        self.octave as i32 * 7 + self.letter.steps()
    }

    /// The pitch an interval away, spelled by the interval's own steps.
    #[must_use]
    pub fn transposed(self, by: Interval) -> Self {
        let steps = self.staff_steps() + by.steps;
        let letter = Letter::from_steps(steps);
        let octave = steps.div_euclid(7);
        let natural = (octave + 1) * 12 + letter.semitones();
        let alteration = self.midi() + by.semitones - natural;
        Self {
            letter,
            alteration: Alteration(alteration.clamp(-12, 12) as i8),
            octave: octave.clamp(-100, 100) as i8,
        }
    }

    /// The same sound with at most one sharp or flat, letters kept where they can be.
    ///
    /// Players read a double sharp as a stumble; this is the spelling they expect instead.
    #[must_use]
    pub fn simplified(self) -> Self {
        if self.alteration.0.abs() <= 1 {
            self
        } else {
            Self::from_midi(self.midi(), self.alteration.0 > 0)
        }
    }

    /// The same sound by its plainest name: a white key by its own letter (F for E sharp), at most one sharp or flat.
    ///
    /// For heights and limits, which belong to no line that could give them another name.
    #[must_use]
    pub fn plain(self) -> Self {
        let plain = Self::from_midi(self.midi(), self.alteration.0 > 0);
        if plain.alteration.0 == 0 {
            plain
        } else {
            self.simplified()
        }
    }

    /// The pitch of a MIDI number, black keys spelled with sharps or flats as asked.
    #[must_use]
    pub fn from_midi(midi: i32, sharps: bool) -> Self {
        let class = midi.rem_euclid(12);
        let (letter, alteration) = match Letter::ALL.into_iter().find(|l| l.semitones() == class) {
            Some(letter) => (letter, 0),
            None if sharps => (Self::natural_at(class - 1), 1),
            None => (Self::natural_at(class + 1), -1),
        };
        let octave = (midi - class).div_euclid(12) - 1;
        Self::new(letter, alteration, octave.clamp(-100, 100) as i8)
    }

    fn natural_at(class: i32) -> Letter {
        Letter::ALL
            .into_iter()
            .find(|l| l.semitones() == class)
            .unwrap_or(Letter::C)
    }

    /// Frequency in hertz in equal temperament, at the given pitch of A4 in hertz.
    #[must_use]
    pub fn hertz(self, a4: f64) -> f64 {
        a4 * 2f64.powf(f64::from(self.midi() - 69) / 12.0)
    }
}

impl fmt::Display for Pitch {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{}{}{}",
            self.letter.as_char(),
            self.alteration,
            self.octave
        )
    }
}

/// Why a text is no pitch name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ParsePitchError {
    /// The text as it was given.
    pub text: String,
}

impl fmt::Display for ParsePitchError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "`{}` is not a pitch; write a letter, any # or b, and an octave, as in F#4 (C4 is middle C)",
            self.text
        )
    }
}

impl std::error::Error for ParsePitchError {}

impl FromStr for Pitch {
    type Err = ParsePitchError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let error = || ParsePitchError {
            text: text.to_owned(),
        };
        let mut chars = text.chars();
        let letter = chars.next().and_then(Letter::from_char).ok_or_else(error)?;
        let rest = chars.as_str();
        let signs = rest.len() - rest.trim_start_matches(['#', 'b', '♯', '♭']).len();
        let alteration: i32 = rest[..signs]
            .chars()
            .map(|c| if matches!(c, '#' | '♯') { 1 } else { -1 })
            .sum();
        let octave: i8 = rest[signs..].parse().map_err(|_| error())?;
        if !(-2..=2).contains(&alteration) || !(-1..=10).contains(&octave) {
            return Err(error());
        }
        Ok(Self::new(letter, alteration as i8, octave))
    }
}

macro_rules! pitch_kind {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub struct $name(pub Pitch);

        impl $name {
            /// A pitch from letter, alteration in semitones and octave.
            #[must_use]
            pub const fn new(letter: Letter, alteration: i8, octave: i8) -> Self {
                Self(Pitch::new(letter, alteration, octave))
            }

            /// The MIDI note number, 60 for middle C.
            #[must_use]
            pub const fn midi(self) -> i32 {
                self.0.midi()
            }

            /// The same note name `octaves` higher (negative: lower).
            #[must_use]
            pub const fn octaves_up(self, octaves: i8) -> Self {
                Self(Pitch { octave: self.0.octave.saturating_add(octaves), ..self.0 })
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.fmt(f)
            }
        }

        impl FromStr for $name {
            type Err = ParsePitchError;

            fn from_str(text: &str) -> Result<Self, Self::Err> {
                text.parse().map(Self)
            }
        }
    };
}

pitch_kind! {
    /// A pitch as the player reads it on the page.
    WrittenPitch
}

pitch_kind! {
    /// A pitch as it sounds in the room (concert pitch).
    SoundingPitch
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_and_numbers_agree() {
        for (name, midi) in [
            ("C4", 60),
            ("A4", 69),
            ("B#3", 60),
            ("Cb4", 59),
            ("F#2", 42),
            ("Bb3", 58),
        ] {
            let pitch: Pitch = name.parse().unwrap();
            assert_eq!(pitch.midi(), midi, "{name}");
            assert_eq!(pitch.to_string(), name);
        }
        for midi in 0..128 {
            assert_eq!(Pitch::from_midi(midi, true).midi(), midi);
            assert_eq!(Pitch::from_midi(midi, false).midi(), midi);
        }
    }

    #[test]
    fn junk_is_refused_with_advice() {
        let signs = format!("C{}4", "#".repeat(300));
        for text in ["", "H4", "C", "C#####4", &signs, "C99", "c4x", "4C"] {
            assert!(
                text.parse::<Pitch>()
                    .unwrap_err()
                    .to_string()
                    .contains("F#4"),
                "{text}"
            );
        }
    }

    #[test]
    fn a4_sounds_at_440() {
        assert!((Pitch::new(Letter::A, 0, 4).hertz(440.0) - 440.0).abs() < 1e-9);
        assert!((Pitch::new(Letter::F, 0, 1).hertz(440.0) - 43.6535).abs() < 1e-3);
    }

    #[test]
    fn double_signs_simplify_to_the_same_sound() {
        let double = Pitch::new(Letter::F, 2, 4);
        assert_eq!(double.simplified().to_string(), "G4");
        assert_eq!(Pitch::new(Letter::C, -2, 4).simplified().to_string(), "Bb3");
    }

    #[test]
    fn plain_names_call_white_keys_by_their_letters() {
        for (name, plain) in [
            ("E#6", "F6"),
            ("B#3", "C4"),
            ("Cb4", "B3"),
            ("Fb5", "E5"),
            ("F##4", "G4"),
            ("Abb4", "G4"),
            ("F#4", "F#4"),
            ("Gb4", "Gb4"),
            ("Bbb5", "A5"),
            ("E##5", "F#5"),
        ] {
            let pitch: Pitch = name.parse().unwrap();
            assert_eq!(pitch.plain().to_string(), plain, "{name}");
            assert_eq!(pitch.plain().midi(), pitch.midi(), "{name}");
        }
    }
}
