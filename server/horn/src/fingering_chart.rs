//! The published fingering chart as data, note by note.
//!
//! Clay Smalley, Double Horn Fingering Dictionary, last updated 2025-11-23, given to all under CC0.

use crate::compass::Height;
use crate::fingering::Fingering;
use crate::series::Valves::{
    AllThree, First, FirstSecond, FirstThird, Open, Second, SecondThird, Third,
};
use crate::series::{Side, Tube, Valves};

const fn entry(side: Side, valves: Valves, partial: u8, cents: i8, common: bool) -> Fingering {
    Fingering {
        tube: Tube { side, valves },
        partial,
        cents,
        common,
    }
}

const fn f(valves: Valves, partial: u8, cents: i8) -> Fingering {
    entry(Side::F, valves, partial, cents, true)
}

const fn f_rare(valves: Valves, partial: u8, cents: i8) -> Fingering {
    entry(Side::F, valves, partial, cents, false)
}

const fn b(valves: Valves, partial: u8, cents: i8) -> Fingering {
    entry(Side::BFlat, valves, partial, cents, true)
}

const fn b_rare(valves: Valves, partial: u8, cents: i8) -> Fingering {
    entry(Side::BFlat, valves, partial, cents, false)
}

/// The MIDI number, written for horn in F, of the chart's first note: F#1.
pub(crate) const FIRST: i32 = 30;

/// The chart's fingerings of a note, common ones first; none outside F#1 to E6.
pub(crate) fn charted(height: Height) -> &'static [Fingering] {
    usize::try_from(height.midi() - FIRST)
        .ok()
        .and_then(|row| CHART.get(row))
        .copied()
        .unwrap_or_default()
}

/// Every fingering of every note from F#1 to E6, a semitone a row, common ones first.
pub(crate) static CHART: [&[Fingering]; 59] = [
    // F#1
    &[f_rare(AllThree, 1, 20)],
    // G1
    &[f_rare(FirstThird, 1, 10)],
    // Ab1
    &[f_rare(SecondThird, 1, 0)],
    // A1
    &[f_rare(FirstSecond, 1, 0), f_rare(Third, 1, -10)],
    // Bb1
    &[f_rare(First, 1, 0)],
    // B1
    &[f_rare(Second, 1, 0)],
    // C2
    &[f_rare(Open, 1, 0), b_rare(FirstThird, 1, 10)],
    // C#2
    &[b_rare(SecondThird, 1, 0)],
    // D2
    &[b_rare(FirstSecond, 1, 0), b_rare(Third, 1, -10)],
    // Eb2
    &[b_rare(First, 1, 0)],
    // E2
    &[b(Second, 1, 0)],
    // F2
    &[b(Open, 1, 0)],
    // F#2
    &[f(AllThree, 2, 20)],
    // G2
    &[f(FirstThird, 2, 10)],
    // Ab2
    &[f(SecondThird, 2, 0)],
    // A2
    &[f(FirstSecond, 2, 0), f_rare(Third, 2, -10)],
    // Bb2
    &[f(First, 2, 0)],
    // B2
    &[f(Second, 2, 0)],
    // C3
    &[f(Open, 2, 0), b_rare(FirstThird, 2, 10)],
    // C#3
    &[f(AllThree, 3, 20), b(SecondThird, 2, 0)],
    // D3
    &[
        f(FirstThird, 3, 10),
        b(FirstSecond, 2, 0),
        b_rare(Third, 2, -10),
    ],
    // Eb3
    &[f(SecondThird, 3, 0), b(First, 2, 0)],
    // E3
    &[f(FirstSecond, 3, 0), b(Second, 2, 0), f_rare(Third, 3, -10)],
    // F3
    &[f(First, 3, 0), b(Open, 2, 0)],
    // F#3
    &[
        f(Second, 3, 0),
        f_rare(AllThree, 4, 20),
        b_rare(AllThree, 3, 20),
    ],
    // G3
    &[
        f(Open, 3, 0),
        f_rare(FirstThird, 4, 10),
        b_rare(FirstThird, 3, 10),
    ],
    // Ab3
    &[f(SecondThird, 4, 0), b(SecondThird, 3, 0)],
    // A3
    &[
        f(FirstSecond, 4, 0),
        b(FirstSecond, 3, 0),
        f_rare(Third, 4, -10),
        b_rare(Third, 3, -10),
    ],
    // Bb3
    &[f(First, 4, 0), b(First, 3, 0), f_rare(AllThree, 5, 5)],
    // B3
    &[f(Second, 4, 0), b(Second, 3, 0), f_rare(FirstThird, 5, -5)],
    // C4
    &[
        f(Open, 4, 0),
        b(Open, 3, 0),
        f_rare(SecondThird, 5, -15),
        b_rare(FirstThird, 4, 10),
    ],
    // C#4
    &[
        f(FirstSecond, 5, -15),
        b(SecondThird, 4, 0),
        f_rare(Third, 5, -25),
        f_rare(AllThree, 6, 20),
    ],
    // D4
    &[
        f(First, 5, -15),
        b(FirstSecond, 4, 0),
        f_rare(FirstThird, 6, 10),
        b_rare(Third, 4, -10),
    ],
    // Eb4
    &[
        f(Second, 5, -15),
        f(SecondThird, 6, 0),
        b(First, 4, 0),
        b_rare(AllThree, 5, 5),
    ],
    // E4
    &[
        f(Open, 5, -15),
        f(FirstSecond, 6, 0),
        b(Second, 4, 0),
        f_rare(Third, 6, -10),
        f_rare(AllThree, 7, -10),
        b_rare(FirstThird, 5, -5),
    ],
    // F4
    &[
        f(First, 6, 0),
        b(Open, 4, 0),
        f_rare(FirstThird, 7, -20),
        b_rare(SecondThird, 5, -15),
    ],
    // F#4
    &[
        f(Second, 6, 0),
        b(FirstSecond, 5, -15),
        f_rare(AllThree, 8, 20),
        b_rare(Third, 5, -25),
        b_rare(AllThree, 6, 20),
    ],
    // G4
    &[
        f(Open, 6, 0),
        b(First, 5, -15),
        f_rare(FirstThird, 8, 10),
        b_rare(FirstThird, 6, 10),
    ],
    // Ab4
    &[
        f(SecondThird, 8, 0),
        b(Second, 5, -15),
        b(SecondThird, 6, 0),
    ],
    // A4
    &[
        f(FirstSecond, 8, 0),
        b(Open, 5, -15),
        b(FirstSecond, 6, 0),
        f_rare(Third, 8, -10),
        f_rare(FirstThird, 9, 15),
        b_rare(Third, 6, -10),
        b_rare(AllThree, 7, -10),
    ],
    // Bb4
    &[
        f(First, 8, 0),
        b(First, 6, 0),
        f_rare(SecondThird, 9, 5),
        f_rare(AllThree, 10, 5),
        b_rare(FirstThird, 7, -20),
    ],
    // B4
    &[
        f(Second, 8, 0),
        b(Second, 6, 0),
        f_rare(FirstSecond, 9, 5),
        f_rare(Third, 9, -5),
        f_rare(FirstThird, 10, -5),
    ],
    // C5
    &[
        f(Open, 8, 0),
        b(Open, 6, 0),
        f_rare(First, 9, 5),
        f_rare(SecondThird, 10, -15),
        b_rare(FirstThird, 8, 10),
    ],
    // C#5
    &[
        f(Second, 9, 5),
        b(SecondThird, 8, 0),
        f_rare(FirstSecond, 10, -15),
        f_rare(Third, 10, -25),
        f_rare(AllThree, 12, 20),
    ],
    // D5
    &[
        f(Open, 9, 5),
        b(FirstSecond, 8, 0),
        f_rare(First, 10, -15),
        f_rare(FirstThird, 12, 10),
        b_rare(Third, 8, -10),
    ],
    // Eb5
    &[
        f(Second, 10, -15),
        f(SecondThird, 12, 0),
        b(First, 8, 0),
        b_rare(SecondThird, 9, 5),
        b_rare(AllThree, 10, 5),
    ],
    // E5
    &[
        f(Open, 10, -15),
        f(FirstSecond, 12, 0),
        b(Second, 8, 0),
        f_rare(Third, 12, -10),
        f_rare(AllThree, 14, -10),
        b_rare(FirstSecond, 9, 5),
        b_rare(Third, 9, -5),
        b_rare(FirstThird, 10, -5),
    ],
    // F5
    &[
        f(First, 12, 0),
        b(Open, 8, 0),
        f_rare(FirstThird, 14, -20),
        f_rare(AllThree, 15, 10),
        b_rare(First, 9, 5),
        b_rare(SecondThird, 10, -15),
    ],
    // F#5
    &[
        f(Second, 12, 0),
        b(Second, 9, 5),
        f_rare(FirstThird, 15, 0),
        f_rare(AllThree, 16, 20),
        b_rare(FirstSecond, 10, -15),
        b_rare(Third, 10, -25),
        b_rare(AllThree, 12, 20),
    ],
    // G5
    &[
        f(Open, 12, 0),
        b(Open, 9, 5),
        f_rare(SecondThird, 15, -10),
        f_rare(FirstThird, 16, 10),
        b_rare(First, 10, -15),
        b_rare(FirstThird, 12, 10),
    ],
    // Ab5
    &[
        b(Second, 10, -15),
        b(SecondThird, 12, 0),
        f_rare(FirstSecond, 15, -10),
        f_rare(Third, 15, -20),
        f_rare(SecondThird, 16, 0),
    ],
    // A5
    &[
        b(Open, 10, -15),
        b(FirstSecond, 12, 0),
        f_rare(First, 15, -10),
        f_rare(FirstSecond, 16, 0),
        f_rare(Third, 16, -10),
        b_rare(Third, 12, -10),
        b_rare(AllThree, 14, -10),
    ],
    // Bb5
    &[
        b(First, 12, 0),
        f_rare(Second, 15, -10),
        f_rare(First, 16, 0),
        b_rare(FirstThird, 14, -20),
        b_rare(AllThree, 15, 10),
    ],
    // B5
    &[
        b(Second, 12, 0),
        f_rare(Open, 15, -10),
        f_rare(Second, 16, 0),
        b_rare(FirstThird, 15, 0),
    ],
    // C6
    &[
        b(Open, 12, 0),
        f_rare(Open, 16, 0),
        b_rare(SecondThird, 15, -10),
        b_rare(FirstThird, 16, 10),
    ],
    // C#6
    &[
        b_rare(FirstSecond, 15, -10),
        b_rare(Third, 15, -20),
        b_rare(SecondThird, 16, 0),
    ],
    // D6
    &[
        b_rare(First, 15, -10),
        b_rare(FirstSecond, 16, 0),
        b_rare(Third, 16, -10),
    ],
    // Eb6
    &[b_rare(Second, 15, -10), b_rare(First, 16, 0)],
    // E6
    &[b_rare(Open, 15, -10), b_rare(Second, 16, 0)],
];
