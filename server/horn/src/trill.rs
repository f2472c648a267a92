//! Which trills a horn plays: half steps with the valves, whole steps with the lip.

use theory::Letter;

use crate::compass::Height;
use crate::source::{Source, Sourced};

/// How a trill is played.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TrillWay {
    /// With the valves: any half step.
    Valves,
    /// With the lip, between two partials a tone apart on one tube.
    Lip,
    /// Neither well.
    Neither,
}

/// The chart that marks trills between partials 8 and 9, and 9 and 10, of every tube.
const CHART: Source = Source::Published {
    author: "Eddins",
    title: "Horn fingering and harmonics chart",
    year: "2023",
    place: "",
};

/// The lowest lower note of a whole-step lip trill: F#4, partial 8 of the longest tube.
#[must_use]
pub const fn lowest_lip_trill() -> Sourced<Height> {
    Sourced::new(Height::new(Letter::F, 1, 4), CHART)
}

/// The highest lower note of a whole-step lip trill: G5, partial 9 of the shortest tube.
#[must_use]
pub const fn highest_lip_trill() -> Sourced<Height> {
    Sourced::new(Height::new(Letter::G, 0, 5), CHART)
}

/// How a trill from a lower note over so many semitones is played.
#[must_use]
pub fn trill_way(lower: Height, semitones: i32) -> TrillWay {
    match semitones {
        1 => TrillWay::Valves,
        2 if (lowest_lip_trill().value..=highest_lip_trill().value).contains(&lower) => {
            TrillWay::Lip
        }
        _ => TrillWay::Neither,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::series::Tube;

    #[test]
    fn the_bounds_are_the_ends_of_the_chart() {
        let lower: Vec<_> = Tube::ALL
            .iter()
            .flat_map(|tube| [tube.partial(8).height(), tube.partial(9).height()])
            .collect();
        assert_eq!(lower.iter().min().copied(), Some(lowest_lip_trill().value));
        assert_eq!(lower.iter().max().copied(), Some(highest_lip_trill().value));
        // Every semitone between has a tube.
        for midi in lowest_lip_trill().value.midi()..=highest_lip_trill().value.midi() {
            assert!(lower.contains(&Height::from_midi(midi)), "{midi}");
        }
    }

    #[test]
    fn half_steps_are_for_the_valves() {
        let low = Height::new(Letter::C, 0, 4);
        assert_eq!(trill_way(low, 1), TrillWay::Valves);
        assert_eq!(trill_way(low, 2), TrillWay::Neither);
        assert_eq!(trill_way(Height::new(Letter::A, 0, 4), 2), TrillWay::Lip);
        assert_eq!(
            trill_way(Height::new(Letter::A, 0, 4), 3),
            TrillWay::Neither
        );
    }
}
