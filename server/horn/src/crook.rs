//! The sixteen crooks a horn part may be written for, and what each adds to the written note.

use theory::{Interval, Transposition};

use crate::source::Source;

/// The tubing a horn part is written for, high to low.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Crook {
    /// C alto: sounds as written.
    CAlto,
    /// B flat alto.
    BFlatAlto,
    /// A.
    A,
    /// A flat.
    AFlat,
    /// G.
    G,
    /// F sharp.
    FSharp,
    /// F, today's usual horn.
    F,
    /// E.
    E,
    /// E flat.
    EFlat,
    /// D.
    D,
    /// D flat.
    DFlat,
    /// C basso: an octave below the written note.
    CBasso,
    /// B natural basso, the German H.
    BBasso,
    /// B flat basso.
    BFlatBasso,
    /// A basso.
    ABasso,
    /// A flat basso.
    AFlatBasso,
}

/// How bass clef is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum ClefConvention {
    /// As every other clef: the treble-clef transposition.
    #[default]
    Modern,
    /// The older habit: bass clef is written an octave lower than it is played.
    OldBass,
}

impl ClefConvention {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Modern, Self::OldBass];

    /// The word for it in settings.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Modern => "modern",
            Self::OldBass => "old",
        }
    }
}

impl Crook {
    /// Every crook, high to low.
    pub const ALL: [Self; 16] = [
        Self::CAlto,
        Self::BFlatAlto,
        Self::A,
        Self::AFlat,
        Self::G,
        Self::FSharp,
        Self::F,
        Self::E,
        Self::EFlat,
        Self::D,
        Self::DFlat,
        Self::CBasso,
        Self::BBasso,
        Self::BFlatBasso,
        Self::ABasso,
        Self::AFlatBasso,
    ];

    /// What is added to a written note to get its sound, in treble clef and in modern bass clef.
    #[must_use]
    pub const fn transposition(self) -> Transposition {
        let (steps, semitones) = match self {
            Self::CAlto => (0, 0),
            Self::BFlatAlto => (-1, -2),
            Self::A => (-2, -3),
            Self::AFlat => (-2, -4),
            Self::G => (-3, -5),
            Self::FSharp => (-4, -6),
            Self::F => (-4, -7),
            Self::E => (-5, -8),
            Self::EFlat => (-5, -9),
            Self::D => (-6, -10),
            Self::DFlat => (-6, -11),
            Self::CBasso => (-7, -12),
            Self::BBasso => (-8, -13),
            Self::BFlatBasso => (-8, -14),
            Self::ABasso => (-9, -15),
            Self::AFlatBasso => (-9, -16),
        };
        Transposition(Interval::new(steps, semitones))
    }

    /// What is added to a note written in bass clef under a convention.
    #[must_use]
    pub const fn transposition_in(self, convention: ClefConvention) -> Transposition {
        let modern = self.transposition();
        match convention {
            ClefConvention::Modern => modern,
            ClefConvention::OldBass => Transposition(Interval::new(
                modern.0.steps + Interval::OCTAVE.steps,
                modern.0.semitones + Interval::OCTAVE.semitones,
            )),
        }
    }

    /// The crook's name in English words.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::CAlto => "C alto",
            Self::BFlatAlto => "B flat alto",
            Self::A => "A",
            Self::AFlat => "A flat",
            Self::G => "G",
            Self::FSharp => "F sharp",
            Self::F => "F",
            Self::E => "E",
            Self::EFlat => "E flat",
            Self::D => "D",
            Self::DFlat => "D flat",
            Self::CBasso => "C basso",
            Self::BBasso => "B basso",
            Self::BFlatBasso => "B flat basso",
            Self::ABasso => "A basso",
            Self::AFlatBasso => "A flat basso",
        }
    }

    /// The horn by its crook, as in `horn in F`.
    #[must_use]
    pub fn label(self) -> String {
        format!("horn in {}", self.name())
    }

    /// The crook as it is written in a part's name; reading it back gives this crook and no other.
    #[must_use]
    pub const fn abbreviation(self) -> &'static str {
        match self {
            Self::BFlatAlto => "Bb alto",
            Self::AFlat => "Ab",
            Self::FSharp => "F#",
            Self::EFlat => "Eb",
            Self::DFlat => "Db",
            // Plain "B basso" would be read as B flat in half the world.
            Self::BBasso => "B natural basso",
            Self::BFlatBasso => "Bb basso",
            Self::AFlatBasso => "Ab basso",
            _ => self.name(),
        }
    }

    /// The crook whose treble-clef transposition is so many semitones, -7 for F.
    #[must_use]
    pub fn from_semitones(semitones: i32) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|crook| crook.transposition().0.semitones == semitones)
    }

    /// Its transposition as a file spells it, where musicians call the crook so: a horn in E flat may be one in D sharp,
    /// one in C is in nothing else. `None` when the semitones are another crook's or the steps no name's.
    #[must_use]
    pub fn spelled(self, recorded: Transposition) -> Option<Transposition> {
        let own = self.transposition().0;
        let black = matches!(
            self,
            Self::BFlatAlto
                | Self::AFlat
                | Self::FSharp
                | Self::EFlat
                | Self::DFlat
                | Self::BFlatBasso
                | Self::AFlatBasso
        );
        let apart = (recorded.0.steps - own.steps).abs();
        let called = apart == 0 || (black && apart == 1 && recorded.0.is_possible());
        (recorded.0.semitones == own.semitones && called).then_some(recorded)
    }

    /// Where the transposition was read; the two lowest were worked out, an octave below A and A flat.
    #[must_use]
    pub const fn source(self) -> Source {
        match self {
            Self::EFlat | Self::D => Source::Published {
                author: "Grove (ed.)",
                title: "A Dictionary of Music and Musicians, vol. 1, \"Horn\"",
                year: "1879",
                place: "p. 750",
            },
            Self::CAlto
            | Self::BFlatAlto
            | Self::A
            | Self::AFlat
            | Self::G
            | Self::F
            | Self::E
            | Self::CBasso
            | Self::BFlatBasso => Source::Published {
                author: "anonymous",
                title: "Natural Brass Instruments, a handout",
                year: "undated",
                place: "",
            },
            Self::FSharp | Self::DFlat | Self::BBasso => Source::Published {
                author: "rgsmithmusic.com",
                title: "Horn transposition chart",
                year: "undated",
                place: "",
            },
            Self::ABasso | Self::AFlatBasso => Source::ProjectChoice,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use theory::WrittenPitch;

    /// Crook; modern semitones, steps, octaves and sound of C5; old-bass semitones, steps, octaves and
    /// sound of C2.
    type Row = (
        Crook,
        (i32, i32, i32, &'static str),
        (i32, i32, i32, &'static str),
    );

    const TABLE: [Row; 16] = [
        (Crook::CAlto, (0, 0, 0, "C5"), (12, 0, 1, "C3")),
        (Crook::BFlatAlto, (-2, -1, 0, "Bb4"), (10, 6, 0, "Bb2")),
        (Crook::A, (-3, -2, 0, "A4"), (9, 5, 0, "A2")),
        (Crook::AFlat, (-4, -2, 0, "Ab4"), (8, 5, 0, "Ab2")),
        (Crook::G, (-5, -3, 0, "G4"), (7, 4, 0, "G2")),
        (Crook::FSharp, (-6, -4, 0, "F#4"), (6, 3, 0, "F#2")),
        (Crook::F, (-7, -4, 0, "F4"), (5, 3, 0, "F2")),
        (Crook::E, (-8, -5, 0, "E4"), (4, 2, 0, "E2")),
        (Crook::EFlat, (-9, -5, 0, "Eb4"), (3, 2, 0, "Eb2")),
        (Crook::D, (-10, -6, 0, "D4"), (2, 1, 0, "D2")),
        (Crook::DFlat, (-11, -6, 0, "Db4"), (1, 1, 0, "Db2")),
        (Crook::CBasso, (-12, 0, -1, "C4"), (0, 0, 0, "C2")),
        (Crook::BBasso, (-13, -1, -1, "B3"), (-1, -1, 0, "B1")),
        (Crook::BFlatBasso, (-14, -1, -1, "Bb3"), (-2, -1, 0, "Bb1")),
        (Crook::ABasso, (-15, -2, -1, "A3"), (-3, -2, 0, "A1")),
        (Crook::AFlatBasso, (-16, -2, -1, "Ab3"), (-4, -2, 0, "Ab1")),
    ];

    #[test]
    fn every_crook_transposes_as_published_in_both_conventions() {
        let mut rows = 0;
        let mut checks = 0;
        for (crook, modern, old) in TABLE {
            for (convention, written, (semitones, steps, octaves, sound)) in [
                (ClefConvention::Modern, "C5", modern),
                (ClefConvention::OldBass, "C2", old),
            ] {
                let transposition = crook.transposition_in(convention);
                assert_eq!(transposition.0.semitones, semitones, "{crook:?}");
                assert_eq!(transposition.0.steps, steps + 7 * octaves, "{crook:?}");
                let written: WrittenPitch = written.parse().unwrap();
                assert_eq!(transposition.sound(written).to_string(), sound, "{crook:?}");
                checks += 3;
            }
            rows += 1;
        }
        println!("{rows} crooks in 2 conventions, {checks} values checked");
        assert_eq!((rows, checks), (16, 96));
    }

    #[test]
    fn a_crook_is_spelled_as_it_is_called() {
        let of = |steps, semitones| Transposition(Interval::new(steps, semitones));
        for (crook, recorded, called) in [
            (Crook::EFlat, of(-5, -9), true),
            (Crook::EFlat, of(-6, -9), true),
            (Crook::EFlat, of(-4, -9), false),
            (Crook::FSharp, of(-3, -6), true),
            (Crook::CBasso, of(-7, -12), true),
            (Crook::CBasso, of(-8, -12), false),
            (Crook::F, of(-5, -7), false),
            (Crook::F, of(-4, -8), false),
        ] {
            assert_eq!(
                crook.spelled(recorded).is_some(),
                called,
                "{crook:?} {recorded:?}"
            );
        }
    }

    #[test]
    fn on_the_page_a_crook_has_signs_for_flats_and_sharps() {
        for crook in Crook::ALL {
            let short = crook.abbreviation();
            assert!(
                !short.contains("flat") && !short.contains("sharp"),
                "{short}"
            );
            assert_eq!(
                crate::crook_name::read_crook(short),
                crate::crook_name::CrookName::Named(crook),
                "{short}"
            );
        }
    }

    #[test]
    fn semitones_find_their_crook() {
        for crook in Crook::ALL {
            assert_eq!(
                Crook::from_semitones(crook.transposition().0.semitones),
                Some(crook)
            );
        }
        assert_eq!(Crook::from_semitones(-1), None);
        assert!(Crook::ALL.is_sorted());
        assert_eq!(Crook::BFlatBasso.label(), "horn in B flat basso");
    }
}
