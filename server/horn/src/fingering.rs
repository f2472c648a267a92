//! Fingerings of the double horn, from a published chart.

use std::fmt;

use crate::compass::Height;
use crate::fingering_chart::{CHART, FIRST};
use crate::series::{Tube, Valves};
use crate::source::Source;

/// One way to finger a note.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Fingering {
    /// Side and valves.
    pub tube: Tube,
    /// The partial of that tube the note is.
    pub partial: u8,
    /// How far off equal temperament it is, in cents, the third slide set so that 23 is exact.
    pub cents: i8,
    /// Whether players use it as a matter of course.
    pub common: bool,
}

impl fmt::Display for Fingering {
    /// `F side 1`, `B♭ side 12`, `B♭ side open (0)`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.tube.valves {
            Valves::Open => write!(f, "{} side open (0)", self.tube.side),
            valves => write!(f, "{} side {valves}", self.tube.side),
        }
    }
}

/// Every fingering of a note, common ones first; none outside F#1 to E6.
#[must_use]
pub fn fingerings(height: Height) -> &'static [Fingering] {
    usize::try_from(height.midi() - FIRST)
        .ok()
        .and_then(|row| CHART.get(row))
        .copied()
        .unwrap_or_default()
}

/// Where the fingerings come from.
#[must_use]
pub const fn fingering_source() -> Source {
    Source::Published {
        author: "Clay Smalley",
        title: "Double Horn Fingering Dictionary",
        year: "2025",
        place: "CC0",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::series::Side;

    fn height(name: &str) -> Height {
        Height(name.parse().unwrap())
    }

    /// The chart's tuning: the third slide set so that 23 is exact.
    fn valve_cents(valves: Valves) -> f64 {
        match valves {
            Valves::Third => -10.0,
            Valves::FirstThird => 10.0,
            Valves::AllThree => 20.0,
            _ => 0.0,
        }
    }

    #[test]
    fn every_entry_lies_on_the_harmonic_series() {
        let mut entries = 0;
        for midi in FIRST..FIRST + CHART.len() as i32 {
            let note = Height::from_midi(midi);
            for fingering in fingerings(note) {
                let partial = fingering.tube.partial(fingering.partial);
                let off = partial.cents()
                    + valve_cents(fingering.tube.valves)
                    + 100.0 * f64::from(partial.height().midi() - midi);
                assert!(off.abs() <= 35.0, "{note}: {fingering} is {off} cents off");
                // The chart prints cents to the nearest five.
                assert!(
                    (off - f64::from(fingering.cents)).abs() <= 2.5,
                    "{note}: {fingering} prints {} for {off}",
                    fingering.cents
                );
                entries += 1;
            }
        }
        println!("{entries} fingerings checked against the harmonic series");
        assert_eq!(entries, 191);
        assert_eq!(Height::from_midi(FIRST), height("F#1"));
        assert_eq!(CHART.len(), 59);
    }

    #[test]
    fn no_note_is_listed_twice_or_left_out() {
        for midi in FIRST..FIRST + CHART.len() as i32 {
            let list = fingerings(Height::from_midi(midi));
            assert!(!list.is_empty(), "{midi}");
            for (index, fingering) in list.iter().enumerate() {
                assert!(!list[..index].contains(fingering), "{midi}: {fingering}");
            }
            assert!(list.is_sorted_by_key(|fingering| !fingering.common));
        }
        assert!(fingerings(height("F1")).is_empty());
        assert!(fingerings(height("F6")).is_empty());
    }

    #[test]
    fn ordinary_notes_begin_at_f_sharp_2() {
        let common = |name: &str| fingerings(height(name)).iter().any(|f| f.common);
        assert!(common("F#2") && common("E2") && common("F2"));
        assert!(!common("Eb2") && !common("C2"));
        let low = fingerings(height("F#2"));
        assert_eq!(low.len(), 1);
        assert_eq!(low[0].to_string(), "F side 123");
        assert_eq!(low[0].tube.side, Side::F);
        let names: Vec<_> = fingerings(height("A4"))
            .iter()
            .filter(|f| f.common)
            .map(ToString::to_string)
            .collect();
        assert_eq!(names, ["F side 12", "B♭ side open (0)", "B♭ side 12"]);
    }
}
