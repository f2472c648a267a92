//! How much a sequence of notes asks of the left hand: this project's model of valve changes.

use crate::compass::{Height, Level};
use crate::fingering::{Fingering, fingerings};
use crate::instrument::Instrument;
use crate::series::{Tube, Valves};
use crate::source::{Source, Sourced};

/// What each lever beyond the first adds when several move at once.
const LEVER: f64 = 1.0;
/// What it adds when one finger goes down as another comes up: the two must meet.
const CROSSING: f64 = 1.0;
/// What the thumb counts: it moves by itself, as a finger does.
const THUMB: f64 = 1.0;
/// What a fingering counts that players do not use as a matter of course.
const UNUSUAL: f64 = 2.5;

/// The levers of the fingers, as bits: first, second and third valve.
const fn levers(valves: Valves) -> u8 {
    match valves {
        Valves::Open => 0b000,
        Valves::First => 0b001,
        Valves::Second => 0b010,
        Valves::Third => 0b100,
        Valves::FirstSecond => 0b011,
        Valves::SecondThird => 0b110,
        Valves::FirstThird => 0b101,
        Valves::AllThree => 0b111,
    }
}

/// What it costs to go from one tube to another: 0 for the same, 1 for one lever, more where several move, and
/// more again where fingers cross.
#[must_use]
pub fn change_cost(from: Tube, to: Tube) -> f64 {
    let (before, after) = (levers(from.valves), levers(to.valves));
    let moved = f64::from((before ^ after).count_ones()) * LEVER;
    let crossing = if before & !after != 0 && after & !before != 0 {
        CROSSING
    } else {
        0.0
    };
    let thumb = if from.side == to.side { 0.0 } else { THUMB };
    moved + crossing + thumb
}

/// The easiest fingerings of a line on an instrument and what their changes cost together; `None` when a note has none.
#[must_use]
pub fn easiest(instrument: Instrument, heights: &[Height]) -> Option<(Vec<Fingering>, f64)> {
    let own = |fingering: &Fingering| if fingering.common { 0.0 } else { UNUSUAL };
    // For each note and fingering, the least cost to get there and the fingering it came from.
    let mut steps: Vec<Vec<(f64, usize)>> = Vec::with_capacity(heights.len());
    for (at, height) in heights.iter().enumerate() {
        let ways = fingerings(instrument, *height);
        let step: Vec<(f64, usize)> = ways
            .iter()
            .map(|way| {
                let before = at.checked_sub(1).and_then(|at| {
                    let ways_before = fingerings(instrument, *heights.get(at)?);
                    steps
                        .last()?
                        .iter()
                        .zip(ways_before)
                        .enumerate()
                        .map(|(place, ((cost, _), before))| {
                            (cost + change_cost(before.tube, way.tube), place)
                        })
                        .min_by(|a, b| a.0.total_cmp(&b.0))
                });
                let (cost, place) = before.unwrap_or((0.0, 0));
                (cost + own(way), place)
            })
            .collect();
        if step.is_empty() {
            return None;
        }
        steps.push(step);
    }
    let (mut place, total) = steps
        .last()?
        .iter()
        .enumerate()
        .min_by(|a, b| a.1.0.total_cmp(&b.1.0))
        .map(|(place, (cost, _))| (place, *cost))?;
    let mut chosen = Vec::with_capacity(heights.len());
    for (height, step) in heights.iter().zip(&steps).rev() {
        chosen.push(*fingerings(instrument, *height).get(place)?);
        place = step.get(place)?.1;
    }
    chosen.reverse();
    Some((chosen, total))
}

/// From how many notes a second on the left hand is counted. Chosen.
#[must_use]
pub fn fast_fingers(level: Level) -> Sourced<f64> {
    Sourced::new(level.pick(4.0, 6.0, 8.0), Source::ProjectChoice)
}

/// The average cost of a change from which a fast passage is awkward. Chosen.
#[must_use]
pub const fn awkward_change() -> Sourced<f64> {
    Sourced::new(2.0, Source::ProjectChoice)
}

/// How many notes make a passage; fewer are got through. Chosen.
#[must_use]
pub const fn fast_run() -> Sourced<f64> {
    Sourced::new(6.0, Source::ProjectChoice)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::series::Side;

    fn line(names: &str) -> Vec<Height> {
        names
            .split(' ')
            .map(|name| Height(name.parse().unwrap()))
            .collect()
    }

    /// On the double horn.
    fn easiest(heights: &[Height]) -> Option<(Vec<Fingering>, f64)> {
        super::easiest(Instrument::Double, heights)
    }

    fn tube(side: Side, valves: Valves) -> Tube {
        Tube { side, valves }
    }

    #[test]
    fn changes_cost_by_what_moves() {
        let open = tube(Side::F, Valves::Open);
        let first = tube(Side::F, Valves::First);
        let cross = tube(Side::F, Valves::SecondThird);
        assert!(change_cost(open, open).abs() < 1e-9);
        assert!((change_cost(open, first) - 1.0).abs() < 1e-9);
        assert!((change_cost(first, cross) - 4.0).abs() < 1e-9);
        let thumb = tube(Side::BFlat, Valves::Open);
        assert!((change_cost(open, thumb) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn an_arpeggio_on_one_tube_costs_nothing() {
        let (chosen, cost) = easiest(&line("C4 E4 G4 C5 E5 G5")).unwrap();
        assert!(cost < 1e-9, "{chosen:?}");
        assert!(chosen.iter().all(|f| f.tube == tube(Side::F, Valves::Open)));
    }

    #[test]
    fn every_note_keeps_a_fingering_of_its_own() {
        let heights = line("Ab3 B3 C#4 Bb3 Ab3 G3 F#3");
        let (chosen, cost) = easiest(&heights).unwrap();
        assert_eq!(chosen.len(), heights.len());
        for (fingering, height) in chosen.iter().zip(&heights) {
            assert!(fingerings(Instrument::Double, *height).contains(fingering));
        }
        assert!(cost > 6.0, "{cost}");
        assert!(easiest(&line("C4 C8")).is_none());
        assert!(easiest(&[]).is_none());
    }

    #[test]
    fn a_single_horn_makes_do_with_one_side() {
        let notes = line("C5 D5 E5 F5 G5 A5");
        let (_, double) = easiest(&notes).unwrap();
        for instrument in [Instrument::SingleF, Instrument::SingleBFlat] {
            let (chosen, cost) = super::easiest(instrument, &notes).unwrap();
            assert!(chosen.iter().all(|way| instrument.has(way.tube.side)));
            assert!(cost >= double, "{instrument}: {cost} under {double}");
        }
        assert!(super::easiest(Instrument::SingleBFlat, &line("C4 G2")).is_none());
    }
}
