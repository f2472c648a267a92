//! Hand-stopping: how a stopped note is fingered, and where it works.

use theory::Letter;

use crate::compass::Height;
use crate::fingering::{Fingering, fingerings};
use crate::instrument::Instrument;
use crate::series::Side;
use crate::source::{Source, Sourced};

/// How a kind of horn gets a stopped note in tune.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum StoppedBy {
    /// The hand, fingered a semitone lower on the F side.
    FSide,
    /// The hand and a stopping valve, which takes back what the hand adds; fingered as the open note is.
    StoppingValve,
}

/// How an instrument gets stopped notes in tune.
///
/// Where there is an F side, it is used. Without one, a stopping valve is needed; that it lets the note be fingered
/// as when open is from memory.
#[must_use]
pub fn stopped_by(instrument: Instrument) -> Sourced<StoppedBy> {
    if instrument.has(Side::F) {
        Sourced::new(StoppedBy::FSide, stopped_fingering_source())
    } else {
        Sourced::new(StoppedBy::StoppingValve, Source::FromMemory)
    }
}

/// How far the closed hand raises a side, in cents: a semitone on the F side, about three quarters of a tone on the
/// B flat side. `None` for the high F side, of which no source read speaks; a triple horn stops on its F side.
#[must_use]
pub const fn hand_raises(side: Side) -> Option<Sourced<i32>> {
    match side {
        Side::F => Some(Sourced::new(100, stopped_fingering_source())),
        Side::BFlat => Some(Sourced::new(
            150,
            Source::Published {
                author: "Band Directors Talk Shop",
                title: "banddirectorstalkshop.com",
                year: "undated",
                place: "on stopping the horn",
            },
        )),
        Side::HighF => None,
    }
}

/// The fingerings with which a note can be played stopped in tune, common ones first.
///
/// With an F side they are its fingerings for the open note a semitone lower, and the B flat side, which is out of
/// tune when stopped, is left alone; the cents are those of the open note. On a single B flat horn they are the
/// note's own, and need a stopping valve. Pedal notes are left out. `None` where no such fingering exists: with an F
/// side below G2, the stopped note over the lowest ordinary one, and above C#6.
#[must_use]
pub fn stopped_fingering(instrument: Instrument, height: Height) -> Option<Vec<Fingering>> {
    let (side, lower) = match stopped_by(instrument).value {
        StoppedBy::FSide => (Side::F, 1),
        StoppedBy::StoppingValve => (Side::BFlat, 0),
    };
    let found: Vec<_> = fingerings(instrument, Height::from_midi(height.midi() - lower))
        .iter()
        .copied()
        .filter(|fingering| fingering.tube.side == side && fingering.partial > 1)
        .collect();
    (!found.is_empty()).then_some(found)
}

/// A common fingering with the bell closed by hand alone, and how far from the note it sounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct HandStopped {
    /// The fingering, named by what it is in the open horn.
    pub fingering: Fingering,
    /// The note it is in the open horn.
    pub open: Height,
    /// How far off the stopped note lies, in cents.
    pub cents: i32,
}

/// How near a note, in cents, a stopped one lies to be counted as its way; the hand's rise is only known roughly.
const NEAR: i32 = 65;

/// What the hand alone makes near a note with an instrument's common fingerings, side by side; computed from
/// [`hand_raises`].
#[must_use]
pub fn hand_stopped(instrument: Instrument, height: Height) -> Vec<HandStopped> {
    let mut found = Vec::new();
    for lower in 1..=2 {
        let open = Height::from_midi(height.midi() - lower);
        for way in fingerings(instrument, open) {
            let Some(rise) = hand_raises(way.tube.side) else {
                continue;
            };
            let cents = rise.value - 100 * lower + i32::from(way.cents);
            if way.common && way.partial > 1 && cents.abs() <= NEAR {
                found.push(HandStopped {
                    fingering: *way,
                    open,
                    cents,
                });
            }
        }
    }
    found.sort_by_key(|way| way.cents.abs());
    found
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

/// The fingerings with which a note is played half-stopped (echo horn), common ones first: those of the open note a
/// semitone higher, common ones first; the cents are those of that note.
///
/// That a bell partly closed lowers the note by about a semitone is in Grove (*Dictionary*, vol. 1, p. 749, with its
/// appendix); that players make up for it by fingering a semitone higher is from memory.
#[must_use]
pub fn half_stopped_fingering(
    instrument: Instrument,
    height: Height,
) -> Sourced<&'static [Fingering]> {
    let higher = Height::from_midi(height.midi() + 1);
    Sourced::new(fingerings(instrument, higher), Source::FromMemory)
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
/// It is judged by its height, on any instrument: what the hand does in the bell is the same.
///
/// That C4 works and lower notes get fuzzy is common practice. Where fuzzy ends (below B flat 3) and where
/// nothing is left (below G2, worked out from the lowest F-side note) are bellhand's own choice; no
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

    /// On the double horn.
    fn stopped_fingering(height: Height) -> Option<Vec<Fingering>> {
        super::stopped_fingering(Instrument::Double, height)
    }

    #[test]
    fn half_stopped_notes_are_fingered_a_semitone_higher() {
        let found = half_stopped_fingering(Instrument::Double, height("B4"));
        assert_eq!(found.value, fingerings(Instrument::Double, height("C5")));
        assert_eq!(found.source, Source::FromMemory);
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

    #[test]
    fn the_triple_stops_as_the_double_does() {
        let mut compared = 0;
        for midi in 24..=100 {
            let note = Height::from_midi(midi);
            let triple = super::stopped_fingering(Instrument::Triple, note);
            assert_eq!(triple, stopped_fingering(note), "{note}");
            compared += usize::from(triple.is_some());
        }
        println!("{compared} stopped notes compared");
        assert_eq!(compared, 43);
    }

    #[test]
    fn a_single_b_flat_horn_needs_a_valve_to_stop() {
        let by = stopped_by(Instrument::SingleBFlat);
        assert_eq!(by.value, StoppedBy::StoppingValve);
        assert_eq!(by.source, Source::FromMemory);
        let found = super::stopped_fingering(Instrument::SingleBFlat, height("C5")).unwrap();
        assert_eq!(found[0].to_string(), "B♭ side open (0)");
        let (mut notes, mut ways) = (0, 0);
        for midi in height("C4").midi()..=height("C6").midi() {
            let note = Height::from_midi(midi);
            let hand = hand_stopped(Instrument::SingleBFlat, note);
            assert!(!hand.is_empty(), "{note}");
            for way in hand {
                assert!(way.cents.abs() >= 35, "{note}: {way:?}");
                ways += 1;
            }
            let on_f = hand_stopped(Instrument::SingleF, note);
            assert!(on_f.iter().any(|way| way.cents.abs() <= 20), "{note}");
            notes += 1;
        }
        println!("{ways} ways by hand over {notes} notes, none within 35 cents on the B flat side");
        assert_eq!((notes, ways), (25, 58));
    }
}
