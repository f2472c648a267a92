//! The natural horn: which notes are open, which the hand makes, and how far it closes for them.

use std::fmt;

use theory::{Letter, Seconds, WrittenPitch};

use crate::series::{Side, Tube, Valves};
use crate::source::{Source, Sourced};

/// How a written note is made on a natural horn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum HandNote {
    /// A partial, with the hand where it is.
    Open,
    /// A partial that lies off pitch (7, 11, 13, 14): open, and brought in by lip and hand.
    Bent,
    /// A semitone under a partial: the bell half closed.
    HalfClosed,
    /// Two semitones under: the bell closed by three quarters.
    MostlyClosed,
    /// Further under, or a semitone over the partial below: the bell closed.
    Closed,
    /// Nowhere near a partial.
    Missing,
}

impl HandNote {
    /// Whether the hand makes it: a factitious note.
    #[must_use]
    pub const fn is_factitious(self) -> bool {
        matches!(self, Self::HalfClosed | Self::MostlyClosed | Self::Closed)
    }
}

impl fmt::Display for HandNote {
    /// What the hand does: `open`, `half closed`, `three quarters closed`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Open => "open",
            Self::Bent => "open, bent into tune",
            Self::HalfClosed => "half closed",
            Self::MostlyClosed => "three quarters closed",
            Self::Closed => "closed",
            Self::Missing => "not on the horn",
        })
    }
}

/// The tube as its own crook writes it: fundamental C2.
const WRITTEN_IN_C: Tube = Tube {
    side: Side::F,
    valves: Valves::Open,
};
/// The partials that are looked for.
const PARTIALS: std::ops::RangeInclusive<u8> = 2..=24;

/// How a note is made that is written for the horn's own crook, C4 being partial 4.
///
/// A semitone under a partial from half closure is fairly sonorous, two from two thirds or three quarters no
/// longer: Widor, Initiation musicale, p. 34. That the hand reaches a perfect fourth on some partials, with the
/// lip: The Horn Call, October 2017, p. 56. That a closed bell gives a semitone over the partial below: Journal
/// of the Acoustical Society of America 155 (2024), A109. The grid worked out from these is this project's.
#[must_use]
pub fn hand_note(written: WrittenPitch) -> Sourced<HandNote> {
    let midi = written.midi();
    let above = PARTIALS
        .map(|number| WRITTEN_IN_C.partial(number))
        .map(|partial| (partial.height().midi() - midi, partial.is_off_pitch()))
        .find(|(distance, _)| *distance >= 0);
    let made = match above {
        Some((0, true)) => HandNote::Bent,
        Some((0, false)) => HandNote::Open,
        _ if midi < LOWEST => HandNote::Missing,
        // Written F5 is the eleventh partial too, which lies between F and F sharp; A5 the thirteenth.
        _ if [WRITTEN_F_5, WRITTEN_A_5].contains(&midi) => HandNote::Bent,
        Some((1, _)) => HandNote::HalfClosed,
        Some((2, _)) => HandNote::MostlyClosed,
        // None lies further below a partial than the hand reaches, but C#3: the closed bell gives it over C3.
        Some(_) => HandNote::Closed,
        None => HandNote::Missing,
    };
    Sourced::new(
        made,
        Source::Published {
            author: "Widor",
            title: "Initiation musicale",
            year: "undated",
            place: "p. 34",
        },
    )
}

const WRITTEN_F_5: i32 = WrittenPitch::new(Letter::F, 0, 5).midi();
const WRITTEN_A_5: i32 = WrittenPitch::new(Letter::A, 0, 5).midi();
/// Under the second partial the hand does nothing; what sounds there, the lip bends.
const LOWEST: i32 = WrittenPitch::new(Letter::C, 0, 3).midi();

/// Clock time to change the crook: take one out, put another in, set the slide and try it. Chosen.
#[must_use]
pub const fn time_to_change_crook() -> Sourced<Seconds> {
    Sourced::new(Seconds(20.0), Source::ProjectChoice)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_scale_of_the_hand_horn() {
        for (names, made) in [
            ("C3 G3 C4 E4 G4 C5 D5 E5 G5 C6", HandNote::Open),
            ("Bb4 F5 F#5 Ab5 A5 Bb5", HandNote::Bent),
            ("F#3 B3 Eb4 F#4 B4 C#5 Eb5", HandNote::HalfClosed),
            ("F3 Bb3 D4 F4 Ab4", HandNote::MostlyClosed),
            ("E3 C#3 D3 A3 Ab3 C#4", HandNote::Closed),
            ("B2 G2 F2", HandNote::Missing),
        ] {
            for name in names.split(' ') {
                let found = hand_note(name.parse().unwrap()).value;
                assert_eq!(found, made, "{name}");
                assert_eq!(
                    found.is_factitious(),
                    made > HandNote::Bent && made < HandNote::Missing
                );
            }
        }
    }
}
