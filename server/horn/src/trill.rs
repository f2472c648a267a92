//! Which trills a horn plays: half steps with the valves, whole steps with the lip.

use theory::Letter;

use crate::compass::Height;
use crate::instrument::Instrument;
use crate::series::Side;
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

/// The partials a whole-step lip trill starts on: a tone lies between 8 and 9, and between 9 and 10.
const LOWER: [u8; 2] = [8, 9];

/// The lower notes of the whole-step lip trills on an instrument.
fn lower_notes(instrument: Instrument) -> impl Iterator<Item = Height> {
    instrument
        .tubes()
        .flat_map(|tube| LOWER.map(|number| tube.partial(number).height()))
}

/// Who says so: the chart for the sides it shows, the harmonic series for the high F side.
fn source(instrument: Instrument) -> Source {
    if instrument.has(Side::HighF) {
        Source::Computed
    } else {
        CHART
    }
}

/// The lowest lower note of a whole-step lip trill, partial 8 of the longest tube: F#4 with an F side.
#[must_use]
pub fn lowest_lip_trill(instrument: Instrument) -> Sourced<Height> {
    let lowest = lower_notes(instrument).min().unwrap_or(F_SHARP_4);
    Sourced::new(lowest, source(instrument))
}

/// The highest lower note of a whole-step lip trill, partial 9 of the shortest tube: G5 on the double horn.
#[must_use]
pub fn highest_lip_trill(instrument: Instrument) -> Sourced<Height> {
    let highest = lower_notes(instrument).max().unwrap_or(F_SHARP_4);
    Sourced::new(highest, source(instrument))
}

/// Partial 8 of the longest tube there is.
const F_SHARP_4: Height = Height::new(Letter::F, 1, 4);

/// How a trill from a lower note over so many semitones is played on an instrument.
#[must_use]
pub fn trill_way(instrument: Instrument, lower: Height, semitones: i32) -> TrillWay {
    match semitones {
        1 => TrillWay::Valves,
        2 if lower_notes(instrument).any(|note| note == lower) => TrillWay::Lip,
        _ => TrillWay::Neither,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::series::Tube;

    /// On the double horn.
    fn lowest_lip_trill() -> Sourced<Height> {
        super::lowest_lip_trill(Instrument::Double)
    }

    fn highest_lip_trill() -> Sourced<Height> {
        super::highest_lip_trill(Instrument::Double)
    }

    fn trill_way(lower: Height, semitones: i32) -> TrillWay {
        super::trill_way(Instrument::Double, lower, semitones)
    }

    #[test]
    fn the_bounds_are_the_ends_of_the_chart() {
        let lower: Vec<_> = Tube::ALL
            .iter()
            .flat_map(|tube| [tube.partial(8).height(), tube.partial(9).height()])
            .collect();
        let published = (Height::new(Letter::F, 1, 4), Height::new(Letter::G, 0, 5));
        assert_eq!(
            (lowest_lip_trill().value, highest_lip_trill().value),
            published
        );
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

    #[test]
    fn each_horn_trills_on_its_own_tubes() {
        for (instrument, low, high) in [
            (Instrument::SingleF, "F#4", "D5"),
            (Instrument::SingleBFlat, "B4", "G5"),
            (Instrument::Triple, "F#4", "D6"),
        ] {
            let height = |name: &str| Height(name.parse().unwrap());
            let (lowest, highest) = (
                super::lowest_lip_trill(instrument).value,
                super::highest_lip_trill(instrument).value,
            );
            assert_eq!((lowest, highest), (height(low), height(high)));
            for midi in lowest.midi()..=highest.midi() {
                let way = super::trill_way(instrument, Height::from_midi(midi), 2);
                assert_eq!(way, TrillWay::Lip, "{instrument}: {midi}");
            }
        }
    }
}
