//! How high and low a horn goes, for whom, and what each register is like.

use std::cmp::Ordering;
use std::fmt;
use std::str::FromStr;

use theory::{Letter, Pitch, SoundingPitch, WrittenPitch};

use crate::crook::Crook;
use crate::source::{RIMSKY_COMPASS, Source, Sourced};

/// A note as a horn in F reads it in modern notation, whatever the part is written for.
///
/// Heights are compared by their sound alone: F sharp and G flat are one height.
#[derive(Debug, Clone, Copy)]
pub struct Height(pub WrittenPitch);

impl Height {
    /// A height from the note a horn in F reads: letter, alteration in semitones and octave.
    #[must_use]
    pub const fn new(letter: Letter, alteration: i8, octave: i8) -> Self {
        Self(WrittenPitch::new(letter, alteration, octave))
    }

    /// The height of a sound.
    #[must_use]
    pub fn of(sound: SoundingPitch) -> Self {
        Self(Crook::F.transposition().write(sound))
    }

    /// The height of a MIDI number written for horn in F, spelled as fingering charts do (C#, Eb, F#, Ab, Bb).
    #[must_use]
    pub fn from_midi(midi: i32) -> Self {
        let sharps = matches!(midi.rem_euclid(12), 1 | 6);
        Self(WrittenPitch(Pitch::from_midi(midi, sharps)))
    }

    /// The MIDI number of the note as written for horn in F, 60 for C4.
    #[must_use]
    pub const fn midi(self) -> i32 {
        self.0.midi()
    }

    /// What sounds: a fifth lower.
    #[must_use]
    pub fn sound(self) -> SoundingPitch {
        Crook::F.transposition().sound(self.0)
    }
}

impl PartialEq for Height {
    fn eq(&self, other: &Self) -> bool {
        self.midi() == other.midi()
    }
}

impl Eq for Height {}

impl PartialOrd for Height {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Height {
    fn cmp(&self, other: &Self) -> Ordering {
        self.midi().cmp(&other.midi())
    }
}

impl fmt::Display for Height {
    /// As written for horn in F, by its plainest name: `A5`, and `F6` rather than `E#6`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.0.plain().fmt(f)
    }
}

/// Whom a part is written for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Level {
    /// Somebody in the first years of learning.
    Student,
    /// An amateur in a community band or orchestra.
    #[default]
    Community,
    /// Somebody who plays for a living.
    Professional,
}

impl Level {
    /// Every level, easiest first.
    pub const ALL: [Self; 3] = [Self::Student, Self::Community, Self::Professional];

    /// The level's word, as settings write it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Student => "student",
            Self::Community => "community",
            Self::Professional => "professional",
        }
    }
}

impl fmt::Display for Level {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// Why a text is no level.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ParseLevelError {
    /// The text as it was given.
    pub text: String,
}

impl fmt::Display for ParseLevelError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "`{}` is not a level; write student, community or professional",
            self.text
        )
    }
}

impl std::error::Error for ParseLevelError {}

impl FromStr for Level {
    type Err = ParseLevelError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::ALL
            .into_iter()
            .find(|level| level.name().eq_ignore_ascii_case(text.trim()))
            .ok_or_else(|| ParseLevelError {
                text: text.to_owned(),
            })
    }
}

/// The stretches of the compass, low to high; their bounds are the frequency bands and the bracket of
/// greatest expression in Rimsky-Korsakov's Table C.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Register {
    /// Below F#2: fundamentals.
    Pedal,
    /// F#2 to B2, "not often used".
    Low,
    /// C3 to B3.
    MiddleLow,
    /// C4 to E5, the notes of greatest expression.
    Middle,
    /// F5 to Ab5.
    High,
    /// A5 to C6, "little used".
    Top,
    /// Above C6.
    Beyond,
}

impl Register {
    /// Every register, low to high.
    pub const ALL: [Self; 7] = [
        Self::Pedal,
        Self::Low,
        Self::MiddleLow,
        Self::Middle,
        Self::High,
        Self::Top,
        Self::Beyond,
    ];

    /// What players call it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Pedal => "pedal register",
            Self::Low => "low register",
            Self::MiddleLow => "middle-low register",
            Self::Middle => "middle register",
            Self::High => "high register",
            Self::Top => "top register",
            Self::Beyond => "above the compass",
        }
    }

    /// What it is like there, for the player and the ear, in a sentence.
    #[must_use]
    pub const fn character(self) -> &'static str {
        match self {
            Self::Pedal => {
                "Fundamentals, of which only written E2 and F2 are in common use (on the B flat side): rare notes, hard to hold steady."
            }
            Self::Low => {
                "Dark and not very solid: it carries little, is easily covered, and is not often written."
            }
            Self::MiddleLow => {
                "Dark and even, good for quiet harmony; a melody here carries less than the same one an octave higher."
            }
            Self::Middle => {
                "The horn at its most expressive: even from soft to loud, dark below and heroic above, where players are at home."
            }
            Self::High => {
                "Bright and easily heard: hard to keep soft in a light texture, and no place to stay for long."
            }
            Self::Top => {
                "Brilliant, with effort in it: little used, tiring to stay in, hard to play softly, treacherous to leap to."
            }
            Self::Beyond => {
                "Above the usual compass: possible for some players, with tone and precision lost."
            }
        }
    }
}

impl fmt::Display for Register {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

const F_SHARP_2: Height = Height::new(Letter::F, 1, 2);
const B_FLAT_2: Height = Height::new(Letter::B, -1, 2);
const C_3: Height = Height::new(Letter::C, 0, 3);
const G_3: Height = Height::new(Letter::G, 0, 3);
const C_4: Height = Height::new(Letter::C, 0, 4);
const G_4: Height = Height::new(Letter::G, 0, 4);
const E_5: Height = Height::new(Letter::E, 0, 5);
const F_5: Height = Height::new(Letter::F, 0, 5);
const A_5: Height = Height::new(Letter::A, 0, 5);
const B_FLAT_5: Height = Height::new(Letter::B, -1, 5);
const C_6: Height = Height::new(Letter::C, 0, 6);

/// The register a note lies in.
#[must_use]
pub fn register(height: Height) -> Register {
    match height {
        h if h < F_SHARP_2 => Register::Pedal,
        h if h < C_3 => Register::Low,
        h if h < C_4 => Register::MiddleLow,
        h if h < F_5 => Register::Middle,
        h if h < A_5 => Register::High,
        h if h <= C_6 => Register::Top,
        _ => Register::Beyond,
    }
}

/// The highest note to write for a level without asking first.
///
/// Professional: the treatise's top. Community: the top of the comfortable compass. Student: the top of
/// the notes of greatest expression. The last two are this project's use of those facts.
#[must_use]
pub const fn highest(level: Level) -> Sourced<Height> {
    match level {
        Level::Student => Sourced::new(E_5, Source::ProjectChoice),
        Level::Community => Sourced::new(B_FLAT_5, Source::ProjectChoice),
        Level::Professional => extreme_high(),
    }
}

/// The lowest note to write for a level without asking first; chosen as in [`highest`].
#[must_use]
pub const fn lowest(level: Level) -> Sourced<Height> {
    match level {
        Level::Student => Sourced::new(G_3, Source::ProjectChoice),
        Level::Community => Sourced::new(B_FLAT_2, Source::ProjectChoice),
        Level::Professional => extreme_low(),
    }
}

/// The compass that is comfortable to write for, lowest and highest: Bb2 to Bb5.
#[must_use]
pub const fn comfortable() -> Sourced<(Height, Height)> {
    Sourced::new((B_FLAT_2, B_FLAT_5), Source::CommonPractice)
}

/// The top of the compass in the treatises: C6.
#[must_use]
pub const fn extreme_high() -> Sourced<Height> {
    Sourced::new(C_6, RIMSKY_COMPASS)
}

/// The floor of ordinary notes: F#2. Below it only pedal notes are left.
#[must_use]
pub const fn extreme_low() -> Sourced<Height> {
    Sourced::new(F_SHARP_2, RIMSKY_COMPASS)
}

/// From here up a note is an error and no matter of level: more than a fourth above the top of the horn; bellhand's own choice.
#[must_use]
pub const fn beyond_all_players() -> Sourced<Height> {
    Sourced::new(Height::new(Letter::F, 1, 6), Source::ProjectChoice)
}

/// Where a solo is at home, upward from here: G4.
#[must_use]
pub const fn solo_from() -> Sourced<Height> {
    Sourced::new(G_4, Source::CommonPractice)
}

/// Where a loud line carries, upward from here: G3.
///
/// Hansen (*Orchestration*) calls the lowest octave easily covered; to draw the line above it is this project's
/// choice.
#[must_use]
pub const fn projecting_from() -> Sourced<Height> {
    Sourced::new(Height::new(Letter::G, 0, 3), Source::ProjectChoice)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn height(name: &str) -> Height {
        Height(name.parse().unwrap())
    }

    #[test]
    fn registers_meet_without_gaps() {
        for (low, high, expected) in [
            ("C2", "F2", Register::Pedal),
            ("F#2", "B2", Register::Low),
            ("C3", "B3", Register::MiddleLow),
            ("C4", "E5", Register::Middle),
            ("F5", "Ab5", Register::High),
            ("A5", "C6", Register::Top),
            ("C#6", "E6", Register::Beyond),
        ] {
            for midi in height(low).midi()..=height(high).midi() {
                assert_eq!(register(Height::from_midi(midi)), expected, "{midi}");
            }
        }
        for pair in Register::ALL.windows(2) {
            assert!(pair[0] < pair[1]);
            assert_ne!(pair[0].character(), pair[1].character());
        }
    }

    #[test]
    fn harder_levels_reach_further() {
        for pair in Level::ALL.windows(2) {
            assert!(highest(pair[0]).value < highest(pair[1]).value);
            assert!(lowest(pair[0]).value > lowest(pair[1]).value);
        }
        assert_eq!(highest(Level::Professional).value, height("C6"));
        assert_eq!(lowest(Level::Professional).value, height("Gb2"));
        assert_eq!(highest(Level::Professional).source, RIMSKY_COMPASS);
    }

    #[test]
    fn levels_read_and_write() {
        for level in Level::ALL {
            assert_eq!(level.to_string().parse(), Ok(level));
        }
        assert!("virtuoso".parse::<Level>().is_err());
    }

    #[test]
    fn heights_are_read_by_a_horn_in_f() {
        let sound: SoundingPitch = "F4".parse().unwrap();
        assert_eq!(Height::of(sound).to_string(), "C5");
        assert_eq!(Height::of(sound).sound(), sound);
        assert_eq!(height("F#4"), height("Gb4"));
        assert_eq!(Height::from_midi(66).to_string(), "F#4");
        assert_eq!(Height::from_midi(70).to_string(), "Bb4");
        // Written E sharp is the height of F, however a crook comes to spell it.
        let sharp: SoundingPitch = "A#5".parse().unwrap();
        assert_eq!(Height::of(sharp).to_string(), "F6");
    }
}
