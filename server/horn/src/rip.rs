//! Rips: slurs through the harmonic series of one tube, and which notes can end them.

use std::cmp::Reverse;

use crate::compass::Height;
use crate::fingering::fingerings;
use crate::instrument::Instrument;
use crate::series::{Partial, Side, Tube, Valves};

/// The lowest and highest partial a rip is looked for between.
const PARTIALS: std::ops::RangeInclusive<u8> = 2..=16;
/// How far from the asked end note another is looked for, in semitones: an octave.
const REACH: i32 = 12;
/// How many other end notes are offered.
const OFFERED: usize = 4;

/// A slur over the partials of one tube, up or down.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Rip {
    /// The tube held from end to end.
    pub tube: Tube,
    /// The partial it leaves.
    pub from: u8,
    /// The partial it arrives at.
    pub to: u8,
}

impl Rip {
    /// The partials that sound on the way, in the order they are passed, ends left out.
    #[must_use]
    pub fn between(self) -> Vec<Partial> {
        let inside = self.from.min(self.to) + 1..self.from.max(self.to);
        let mut passed: Vec<_> = inside.map(|number| self.tube.partial(number)).collect();
        if self.from > self.to {
            passed.reverse();
        }
        passed
    }

    /// How many of the two ends are common fingerings on this tube.
    fn common_ends(self, instrument: Instrument) -> usize {
        [self.from, self.to]
            .into_iter()
            .filter(|&number| {
                fingerings(instrument, self.tube.partial(number).height())
                    .iter()
                    .any(|f| f.common && f.tube == self.tube && f.partial == number)
            })
            .count()
    }
}

/// The tubes a rip is played on; beside an F side, the long valve combinations of the B flat side repeat it.
fn tubes(instrument: Instrument) -> impl Iterator<Item = Tube> {
    instrument.tubes().filter(move |tube| {
        let long = matches!(tube.valves, Valves::FirstThird | Valves::AllThree);
        !(long && tube.side == Side::BFlat && instrument.has(Side::F))
    })
}

/// The partials of a tube that can end a rip on a note: in tune, so never 7, 11, 13 or 14.
fn ends(tube: Tube, height: Height) -> impl Iterator<Item = u8> {
    PARTIALS
        .map(move |number| tube.partial(number))
        .filter(move |partial| !partial.is_off_pitch() && partial.height() == height)
        .map(|partial| partial.number)
}

/// The rips from one note to another on an instrument, best first; empty when no tube carries both.
///
/// Best is where both ends are usual fingerings, then not on all three valves (weak and hard to control),
/// then with most notes on the way, then with fewest valves down.
#[must_use]
pub fn rips(instrument: Instrument, from: Height, to: Height) -> Vec<Rip> {
    let mut found: Vec<_> = tubes(instrument)
        .flat_map(|tube| {
            ends(tube, from).flat_map(move |from| {
                ends(tube, to)
                    .filter(move |&to| to != from)
                    .map(move |to| Rip { tube, from, to })
            })
        })
        .collect();
    found.sort_by_key(|rip| {
        (
            Reverse(rip.common_ends(instrument)),
            rip.tube.valves == Valves::AllThree,
            Reverse(rip.from.abs_diff(rip.to)),
            rip.tube.valves.count(),
        )
    });
    found
}

/// The octave below the note that a rip is to reach, or above it where the rip goes down, when a rip leads from there
/// with at least one partial on the way: the start that changes no harmony.
#[must_use]
pub fn octave_start(instrument: Instrument, from: Height, to: Height) -> Option<Height> {
    let octave = if to > from { -12 } else { 12 };
    let start = Height::from_midi(to.midi() + octave);
    sweeps(instrument, start, to).then_some(start)
}

/// Whether a rip leads from one note to another with at least one partial on the way.
#[must_use]
pub fn sweeps(instrument: Instrument, from: Height, to: Height) -> bool {
    rips(instrument, from, to)
        .iter()
        .any(|rip| rip.from.abs_diff(rip.to) > 1)
}

/// The end notes nearest the one asked for that a rip in the same direction reaches with at least one
/// partial on the way, nearest first, the one asked for among them when it is such a note; at most four.
#[must_use]
pub fn nearest_ends(instrument: Instrument, from: Height, to: Height) -> Vec<Height> {
    let rising = to > from;
    let mut found: Vec<_> = (to.midi() - REACH..=to.midi() + REACH)
        .map(Height::from_midi)
        .filter(|&end| (end > from) == rising && end != from)
        .filter_map(|end| {
            let best = rips(instrument, from, end)
                .into_iter()
                .find(|rip| rip.from.abs_diff(rip.to) > 1)?;
            Some((end, best.common_ends(instrument)))
        })
        .collect();
    // Of two equally near, the one with the more usual fingerings comes first.
    found.sort_by_key(|&(end, common)| ((end.midi() - to.midi()).abs(), Reverse(common)));
    found.truncate(OFFERED);
    found.into_iter().map(|(end, _)| end).collect()
}

/// The start notes nearest the one asked for from which a rip in the same direction reaches its end with at least one
/// partial on the way, nearest first, as [`nearest_ends`] finds them.
#[must_use]
pub fn nearest_starts(instrument: Instrument, from: Height, to: Height) -> Vec<Height> {
    // A tube carries a rip both ways.
    nearest_ends(instrument, to, from)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn height(name: &str) -> Height {
        Height(name.parse().unwrap())
    }

    /// On the double horn.
    fn rips(from: Height, to: Height) -> Vec<Rip> {
        super::rips(Instrument::Double, from, to)
    }

    fn nearest_ends(from: Height, to: Height) -> Vec<Height> {
        super::nearest_ends(Instrument::Double, from, to)
    }

    #[test]
    fn octaves_are_ripped_on_the_usual_tube() {
        for (low, high, tube, between) in [
            ("C4", "C5", "F 0", 3),
            ("G4", "G5", "F 0", 5),
            ("C5", "C6", "B♭ 0", 5),
        ] {
            let best = rips(height(low), height(high))[0];
            assert_eq!(best.tube.to_string(), tube, "{low} to {high}");
            assert_eq!(best.between().len(), between, "{low} to {high}");
            let down = rips(height(high), height(low))[0];
            assert_eq!(down.tube, best.tube);
            assert_eq!(down.between().len(), between);
            assert!(down.between().is_sorted_by(|a, b| a.number > b.number));
        }
    }

    #[test]
    fn off_pitch_partials_are_passed_but_end_nothing() {
        let best = rips(height("G4"), height("C5"))[0];
        assert_eq!((best.from, best.to), (6, 8));
        assert_eq!(best.between()[0].number, 7);
        for low in 42..=84 {
            for high in low + 1..=84 {
                for rip in rips(Height::from_midi(low), Height::from_midi(high)) {
                    for end in [rip.from, rip.to] {
                        assert!(!rip.tube.partial(end).is_off_pitch());
                    }
                }
            }
        }
    }

    #[test]
    fn notes_no_tube_shares_get_near_ends_instead() {
        assert!(rips(height("C4"), height("C#4")).is_empty());
        let from = height("C4");
        let to = height("B4");
        assert!(rips(from, to).is_empty());
        let ends = nearest_ends(from, to);
        assert_eq!(ends[0], height("C5"));
        assert!(
            ends.iter()
                .all(|&end| end > from && !rips(from, end).is_empty())
        );
        assert_eq!(nearest_ends(from, height("C5"))[0], height("C5"));
        // From partial 2 up every octave is swept through; lower the horn has no start for it.
        for midi in height("F#3").midi()..=height("C6").midi() {
            let to = Height::from_midi(midi);
            let start = octave_start(Instrument::Double, Height::from_midi(midi - 1), to);
            assert_eq!(start.map(Height::midi), Some(midi - 12), "{to}");
            let down = octave_start(Instrument::Double, to, Height::from_midi(midi - 12));
            assert_eq!(down.map(Height::midi), Some(midi), "down from {to}");
        }
        assert_eq!(
            octave_start(Instrument::Double, height("C3"), height("C#3")),
            None
        );
        let starts = nearest_starts(Instrument::Double, from, to);
        assert_eq!(starts[0], height("B3"));
        for start in starts {
            assert!(start < to && !rips(start, to).is_empty(), "{start}");
        }
    }

    #[test]
    fn of_ways_as_usual_as_each_other_all_three_valves_come_last() {
        let mut ways = 0;
        let pairs = (42..=84).flat_map(|low| (low + 1..=84).map(move |high| (low, high)));
        let tried = pairs.flat_map(|pair| Instrument::ALL.map(|instrument| (pair, instrument)));
        for ((low, high), instrument) in tried {
            let rips = super::rips(instrument, Height::from_midi(low), Height::from_midi(high));
            for pair in rips.windows(2) {
                let common = |rip: &Rip| rip.common_ends(instrument);
                let heavy = |rip: &Rip| rip.tube.valves == Valves::AllThree;
                assert!(common(&pair[0]) >= common(&pair[1]), "{low} to {high}");
                if common(&pair[0]) == common(&pair[1]) {
                    assert!(!heavy(&pair[0]) || heavy(&pair[1]), "{low} to {high}");
                    ways += usize::from(heavy(&pair[1]));
                }
            }
        }
        println!("{ways} ways on all three valves after others");
        assert_eq!(ways, 23);
    }

    #[test]
    fn each_horn_rips_on_its_own_tubes() {
        let best = |instrument, low, high| {
            super::rips(instrument, height(low), height(high))
                .first()
                .map(|rip| (rip.tube.to_string(), rip.between().len()))
        };
        let on = |tube: &str, between| Some((tube.to_owned(), between));
        assert_eq!(best(Instrument::SingleF, "C5", "C6"), on("F 0", 7));
        assert_eq!(best(Instrument::SingleBFlat, "C5", "C6"), on("B♭ 0", 5));
        assert_eq!(best(Instrument::SingleBFlat, "C4", "E4"), on("B♭ 13", 0));
        assert_eq!(best(Instrument::Double, "C4", "E4"), on("F 0", 0));
        assert_eq!(best(Instrument::Triple, "C6", "E6"), on("high F 0", 1));
        assert_eq!(best(Instrument::SingleBFlat, "C3", "E5"), on("B♭ 13", 7));
    }
}
