//! Clefs: where the staff lies, which says how easily a note is read.

use theory::Letter;

/// A clef by the pitch of the staff's middle line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Clef {
    /// What it is.
    pub kind: ClefKind,
    /// Octaves by which a small 8 above or below moves it; the written pitches already count it or not as the
    /// notation says.
    pub octaves: i8,
}

/// The usual clefs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ClefKind {
    /// G on the second line.
    Treble,
    /// C on the third line.
    Alto,
    /// C on the fourth line.
    Tenor,
    /// F on the fourth line.
    Bass,
    /// Any other.
    Other,
}

impl Clef {
    /// The treble clef, which horns read unless told otherwise.
    pub const TREBLE: Self = Self {
        kind: ClefKind::Treble,
        octaves: 0,
    };

    /// Diatonic steps above C0 of the staff's middle line, without the small 8; `None` for unusual clefs.
    #[must_use]
    pub const fn middle_line(self) -> Option<i32> {
        let (letter, octave) = match self.kind {
            ClefKind::Treble => (Letter::B, 4),
            ClefKind::Alto => (Letter::C, 4),
            ClefKind::Tenor => (Letter::A, 3),
            ClefKind::Bass => (Letter::D, 3),
            ClefKind::Other => return None,
        };
        Some(octave * 7 + letter.steps())
    }

    /// How many ledger lines a note that lies so many diatonic steps above C0 needs; below the staff negative.
    #[must_use]
    pub const fn ledger_lines(self, staff_steps: i32) -> i32 {
        match self.middle_line() {
            // Four steps reach the outer line; from the second step beyond it each line counts.
            Some(middle) => {
                let away = staff_steps - middle;
                if away >= 6 {
                    (away - 4) / 2
                } else if away <= -6 {
                    (away + 4) / 2
                } else {
                    0
                }
            }
            None => 0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use theory::Pitch;

    #[test]
    fn ledger_lines_of_known_notes() {
        let bass = Clef {
            kind: ClefKind::Bass,
            octaves: 0,
        };
        for (clef, name, lines) in [
            (Clef::TREBLE, "C4", -1),
            (Clef::TREBLE, "D4", 0),
            (Clef::TREBLE, "A5", 1),
            (Clef::TREBLE, "G5", 0),
            (Clef::TREBLE, "C6", 2),
            (Clef::TREBLE, "G3", -2),
            (Clef::TREBLE, "E3", -3),
            (bass, "C4", 1),
            (bass, "E2", -1),
            (bass, "B3", 0),
        ] {
            let pitch: Pitch = name.parse().unwrap();
            assert_eq!(clef.ledger_lines(pitch.staff_steps()), lines, "{name}");
        }
    }
}
