//! Hand-stopping: how a stopped note is fingered, and where it works.

use theory::Letter;

use crate::compass::Height;
use crate::fingering::{Fingering, fingerings};
use crate::series::Side;
use crate::source::{Source, Sourced};

/// The F-side fingerings of a stopped note: those of the open note a semitone lower, common ones first.
///
/// Closing the bell on the F side raises the sound a semitone; on the B flat side it is about three
/// quarters of a tone, so that side is left alone. The cents are those of the open note. `None` where no
/// such fingering exists: below G2, the stopped note over the lowest ordinary one, and above C#6.
#[must_use]
pub fn stopped_fingering(height: Height) -> Option<Vec<Fingering>> {
    let found: Vec<_> = fingerings(Height::from_midi(height.midi() - 1))
        .iter()
        .copied()
        .filter(|fingering| fingering.tube.side == Side::F && fingering.partial > 1)
        .collect();
    (!found.is_empty()).then_some(found)
}

/// Where the semitone of F-side stopping was read.
#[must_use]
pub const fn stopped_fingering_source() -> Source {
    Source::Published {
        author: "Boldin",
        title: "The Instrumentalist",
        year: "2008",
        place: "September",
    }
}

/// How well a note can be played stopped.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum StoppedQuality {
    /// Works well.
    Good,
    /// Fuzzy in sound and tuning.
    Fuzzy,
    /// Hardly a stopped sound at all.
    Poor,
    /// No fingering plays it.
    Impossible,
}

const LOWEST_GOOD: Height = Height::new(Letter::C, 0, 4);
const LOWEST_FUZZY: Height = Height::new(Letter::B, -1, 3);
const FLOOR: Height = Height::new(Letter::G, 0, 2);

/// How well a note can be played stopped.
///
/// That C4 works and lower notes get fuzzy is common practice. Where fuzzy ends (below B flat 3) and where
/// nothing is left (below G2, worked out from the lowest F-side note) are this project's choice; no
/// treatise read gives a number.
#[must_use]
pub fn stopped_quality(height: Height) -> Sourced<StoppedQuality> {
    match height {
        h if h < FLOOR => Sourced::new(StoppedQuality::Impossible, Source::ProjectChoice),
        h if h < LOWEST_FUZZY => Sourced::new(StoppedQuality::Poor, Source::ProjectChoice),
        h if h < LOWEST_GOOD => Sourced::new(StoppedQuality::Fuzzy, Source::CommonPractice),
        _ => Sourced::new(StoppedQuality::Good, Source::CommonPractice),
    }
}

/// The lowest note that works well stopped: C4.
#[must_use]
pub const fn lowest_good_stopped() -> Sourced<Height> {
    Sourced::new(LOWEST_GOOD, Source::CommonPractice)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn height(name: &str) -> Height {
        Height(name.parse().unwrap())
    }

    #[test]
    fn stopped_notes_are_fingered_a_semitone_lower_on_the_f_side() {
        let c5 = stopped_fingering(height("C5")).unwrap();
        assert_eq!(c5[0].to_string(), "F side 2");
        assert!(c5.iter().all(|f| f.tube.side == Side::F));
        assert_eq!(
            stopped_fingering(height("F4")).unwrap()[0].to_string(),
            "F side open (0)"
        );
    }

    #[test]
    fn fingering_and_quality_agree_on_the_floor() {
        for midi in 24..=height("C#6").midi() {
            let note = Height::from_midi(midi);
            let impossible = stopped_quality(note).value == StoppedQuality::Impossible;
            assert_eq!(stopped_fingering(note).is_none(), impossible, "{note}");
        }
        for (name, quality) in [
            ("G5", StoppedQuality::Good),
            ("C4", StoppedQuality::Good),
            ("B3", StoppedQuality::Fuzzy),
            ("Bb3", StoppedQuality::Fuzzy),
            ("A3", StoppedQuality::Poor),
            ("G2", StoppedQuality::Poor),
            ("F#2", StoppedQuality::Impossible),
        ] {
            assert_eq!(stopped_quality(height(name)).value, quality, "{name}");
        }
    }
}
