//! The tubes of a horn and the harmonic series each of them plays.

use std::fmt;

use theory::Letter;

use crate::compass::Height;
use crate::source::{Source, Sourced};

/// A side of a horn with valves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    /// The F side, thumb up.
    F,
    /// The B flat side, thumb down.
    BFlat,
    /// The high F side of a triple horn, an octave above the F side.
    HighF,
}

impl Side {
    /// The highest partial looked for on this side.
    const fn top_partial(self) -> u8 {
        match self {
            Self::F | Self::HighF => 16,
            Self::BFlat => 20,
        }
    }
}

impl fmt::Display for Side {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::F => "F",
            Self::BFlat => "B♭",
            Self::HighF => "high F",
        })
    }
}

/// Valves held down.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Valves {
    /// None.
    Open,
    /// 2: a semitone lower.
    Second,
    /// 1: a whole tone.
    First,
    /// 1 and 2: three semitones.
    FirstSecond,
    /// 3 alone: three semitones, a little flat when the slide is set for 2 and 3.
    Third,
    /// 2 and 3: four semitones.
    SecondThird,
    /// 1 and 3: five semitones, a little sharp.
    FirstThird,
    /// All three: six semitones, sharper.
    AllThree,
}

impl Valves {
    /// Every combination, shortest first.
    pub const ALL: [Self; 8] = [
        Self::Open,
        Self::Second,
        Self::First,
        Self::FirstSecond,
        Self::Third,
        Self::SecondThird,
        Self::FirstThird,
        Self::AllThree,
    ];

    /// How far off its semitones a combination lies, in cents, the third slide set so that 23 is exact.
    #[must_use]
    pub const fn cents(self) -> Sourced<i8> {
        let cents = match self {
            Self::Third => -10,
            Self::FirstThird => 10,
            Self::AllThree => 20,
            _ => 0,
        };
        Sourced::new(
            cents,
            Source::Published {
                author: "Clay Smalley",
                title: "Double Horn Fingering Dictionary",
                year: "2025",
                place: "preface",
            },
        )
    }

    /// How far the valves lower the tube, in semitones.
    ///
    /// Young Horn Player's Guide, 5th ed.: 2 half a tone, 1 a tone, 12 or 3 one and a half, 23 two, 13 two
    /// and a half, 123 three.
    #[must_use]
    pub const fn semitones(self) -> i32 {
        match self {
            Self::Open => 0,
            Self::Second => 1,
            Self::First => 2,
            Self::FirstSecond | Self::Third => 3,
            Self::SecondThird => 4,
            Self::FirstThird => 5,
            Self::AllThree => 6,
        }
    }

    /// How many valves are down.
    #[must_use]
    pub const fn count(self) -> u8 {
        match self {
            Self::Open => 0,
            Self::Second | Self::First | Self::Third => 1,
            Self::FirstSecond | Self::SecondThird | Self::FirstThird => 2,
            Self::AllThree => 3,
        }
    }
}

impl fmt::Display for Valves {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Open => "0",
            Self::Second => "2",
            Self::First => "1",
            Self::FirstSecond => "12",
            Self::Third => "3",
            Self::SecondThird => "23",
            Self::FirstThird => "13",
            Self::AllThree => "123",
        })
    }
}

/// One length of tube: a side and the valves held down.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Tube {
    /// The side.
    pub side: Side,
    /// The valves held down.
    pub valves: Valves,
}

/// The written fundamentals of the open sides: C2 on the F side, F2 on the B flat side, C3 on the high F side.
const OPEN_F: Height = Height::new(Letter::C, 0, 2);
const OPEN_B_FLAT: Height = Height::new(Letter::F, 0, 2);
const OPEN_HIGH_F: Height = Height::new(Letter::C, 0, 3);

const fn tube(side: Side, valves: Valves) -> Tube {
    Tube { side, valves }
}

impl Tube {
    /// The fourteen tubes of the double horn, each side shortest first; 3 alone is the length of 12 and is not listed again.
    pub const ALL: [Self; 14] = [
        tube(Side::F, Valves::Open),
        tube(Side::F, Valves::Second),
        tube(Side::F, Valves::First),
        tube(Side::F, Valves::FirstSecond),
        tube(Side::F, Valves::SecondThird),
        tube(Side::F, Valves::FirstThird),
        tube(Side::F, Valves::AllThree),
        tube(Side::BFlat, Valves::Open),
        tube(Side::BFlat, Valves::Second),
        tube(Side::BFlat, Valves::First),
        tube(Side::BFlat, Valves::FirstSecond),
        tube(Side::BFlat, Valves::SecondThird),
        tube(Side::BFlat, Valves::FirstThird),
        tube(Side::BFlat, Valves::AllThree),
    ];

    /// The tube's first partial.
    #[must_use]
    pub fn fundamental(self) -> Height {
        let open = match self.side {
            Side::F => OPEN_F,
            Side::BFlat => OPEN_B_FLAT,
            Side::HighF => OPEN_HIGH_F,
        };
        Height::from_midi(open.midi() - self.valves.semitones())
    }

    /// The tube's partial of a number; 0 counts as the first.
    #[must_use]
    pub const fn partial(self, number: u8) -> Partial {
        Partial { tube: self, number }
    }
}

impl fmt::Display for Tube {
    /// `F 0`, `B♭ 12`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.side, self.valves)
    }
}

/// One partial of a tube, counted from 1, the fundamental.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Partial {
    /// The tube.
    pub tube: Tube,
    /// The number in the harmonic series.
    pub number: u8,
}

impl Partial {
    fn cents_above_fundamental(self) -> f64 {
        1200.0 * f64::from(self.number.max(1)).log2()
    }

    fn semitones_above_fundamental(self) -> i32 {
        (self.cents_above_fundamental() / 100.0).round() as i32
    }

    /// The nearest note, as a horn in F reads it.
    #[must_use]
    pub fn height(self) -> Height {
        Height::from_midi(self.tube.fundamental().midi() + self.semitones_above_fundamental())
    }

    /// How far the partial lies from that note in equal temperament, in cents, above being positive.
    ///
    /// The tube is taken as exact; that valves together run sharp is not in it.
    #[must_use]
    pub fn cents(self) -> f64 {
        self.cents_above_fundamental() - 100.0 * f64::from(self.semitones_above_fundamental())
    }

    /// Whether it lies too far off to be used as a note of its own: 7, 11, 13 and 14.
    ///
    /// Rimsky-Korsakov, Principles of Orchestration (1922), p. 25, leaves out these as useless (and 15,
    /// which fingering charts print).
    #[must_use]
    pub const fn is_off_pitch(self) -> bool {
        matches!(self.number, 7 | 11 | 13 | 14)
    }
}

impl fmt::Display for Partial {
    /// `partial 8 of F 0`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "partial {} of {}", self.number, self.tube)
    }
}

/// Every tube of the double horn that has a note as one of its partials: 1 to 16 on the F side, to 20 on the B flat side.
#[must_use]
pub fn partials_at(height: Height) -> Vec<Partial> {
    Tube::ALL
        .into_iter()
        .flat_map(|tube| (1..=tube.side.top_partial()).map(move |number| tube.partial(number)))
        .filter(|partial| partial.height() == height)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn height(name: &str) -> Height {
        Height(name.parse().unwrap())
    }

    /// Partial, written note, sounding note, cents and hertz (A4 = 440) of the open F side.
    const OPEN_F_SERIES: [(u8, &str, &str, f64, f64); 24] = [
        (1, "C2", "F1", 0.00, 43.65),
        (2, "C3", "F2", 0.00, 87.31),
        (3, "G3", "C3", 1.96, 130.96),
        (4, "C4", "F3", 0.00, 174.61),
        (5, "E4", "A3", -13.69, 218.27),
        (6, "G4", "C4", 1.96, 261.92),
        (7, "Bb4", "Eb4", -31.17, 305.57),
        (8, "C5", "F4", 0.00, 349.23),
        (9, "D5", "G4", 3.91, 392.88),
        (10, "E5", "A4", -13.69, 436.54),
        (11, "F#5", "B4", -48.68, 480.19),
        (12, "G5", "C5", 1.96, 523.84),
        (13, "Ab5", "C#5", 40.53, 567.50),
        (14, "Bb5", "Eb5", -31.17, 611.15),
        (15, "B5", "E5", -11.73, 654.80),
        (16, "C6", "F5", 0.00, 698.46),
        (17, "C#6", "F#5", 4.96, 742.11),
        (18, "D6", "G5", 3.91, 785.76),
        (19, "Eb6", "Ab5", -2.49, 829.42),
        (20, "E6", "A5", -13.69, 873.07),
        (21, "F6", "Bb5", -29.22, 916.72),
        (22, "F#6", "B5", -48.68, 960.38),
        (23, "F#6", "B5", 28.27, 1004.03),
        (24, "G6", "C6", 1.96, 1047.68),
    ];

    #[test]
    fn the_series_agrees_entry_by_entry() {
        let tube = Tube::ALL[0];
        let mut entries = 0;
        for (number, written, sounding, cents, hertz) in OPEN_F_SERIES {
            let partial = tube.partial(number);
            assert_eq!(partial.height(), height(written), "partial {number}");
            let sound: theory::SoundingPitch = sounding.parse().unwrap();
            assert_eq!(partial.height().sound().midi(), sound.midi());
            assert!((partial.cents() - cents).abs() < 0.006, "partial {number}");
            let computed = tube.fundamental().sound().0.hertz(440.0) * f64::from(number);
            assert!((computed - hertz).abs() < 0.006, "partial {number}");
            entries += 1;
        }
        println!("{entries} partials checked: written, sounding, cents, hertz");
        assert_eq!(entries, 24);
    }

    /// Partials 2 to 16 of twelve tubes as the published lattice gives them.
    const LATTICE: [(usize, &str); 12] = [
        (0, "C3 G3 C4 E4 G4 Bb4 C5 D5 E5 F#5 G5 Ab5 Bb5 B5 C6"),
        (1, "B2 F#3 B3 Eb4 F#4 A4 B4 C#5 Eb5 F5 F#5 G5 A5 Bb5 B5"),
        (2, "Bb2 F3 Bb3 D4 F4 Ab4 Bb4 C5 D5 E5 F5 F#5 Ab5 A5 Bb5"),
        (3, "A2 E3 A3 C#4 E4 G4 A4 B4 C#5 Eb5 E5 F5 G5 Ab5 A5"),
        (4, "Ab2 Eb3 Ab3 C4 Eb4 F#4 Ab4 Bb4 C5 D5 Eb5 E5 F#5 G5 Ab5"),
        (5, "G2 D3 G3 B3 D4 F4 G4 A4 B4 C#5 D5 Eb5 F5 F#5 G5"),
        (6, "F#2 C#3 F#3 Bb3 C#4 E4 F#4 Ab4 Bb4 C5 C#5 D5 E5 F5 F#5"),
        (7, "F3 C4 F4 A4 C5 Eb5 F5 G5 A5 B5 C6 C#6 Eb6 E6 F6"),
        (8, "E3 B3 E4 Ab4 B4 D5 E5 F#5 Ab5 Bb5 B5 C6 D6 Eb6 E6"),
        (9, "Eb3 Bb3 Eb4 G4 Bb4 C#5 Eb5 F5 G5 A5 Bb5 B5 C#6 D6 Eb6"),
        (10, "D3 A3 D4 F#4 A4 C5 D5 E5 F#5 Ab5 A5 Bb5 C6 C#6 D6"),
        (11, "C#3 Ab3 C#4 F4 Ab4 B4 C#5 Eb5 F5 G5 Ab5 A5 B5 C6 C#6"),
    ];

    #[test]
    fn the_lattice_of_tubes_agrees_entry_by_entry() {
        let mut entries = 0;
        for (index, row) in LATTICE {
            for (number, note) in (2..).zip(row.split(' ')) {
                let partial = Tube::ALL[index].partial(number);
                assert_eq!(partial.height(), height(note), "{partial}");
                assert!(partials_at(height(note)).contains(&partial), "{partial}");
                entries += 1;
            }
        }
        println!("{entries} partials on 12 tubes checked");
        assert_eq!(entries, 180);
    }

    #[test]
    fn fundamentals_agree() {
        let names = [
            "C2", "B1", "Bb1", "A1", "Ab1", "G1", "F#1", "F2", "E2", "Eb2", "D2", "Db2", "C2", "B1",
        ];
        for (tube, name) in Tube::ALL.into_iter().zip(names) {
            assert_eq!(tube.fundamental(), height(name), "{tube}");
        }
        assert_eq!(Tube::ALL[0].to_string(), "F 0");
        assert_eq!(Tube::ALL[10].to_string(), "B♭ 12");
    }
}
