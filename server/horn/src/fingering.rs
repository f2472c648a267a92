//! Fingerings of every kind of horn: the published chart's, and beside them what is computed.

use std::collections::BTreeMap;
use std::fmt;
use std::sync::LazyLock;

use crate::compass::Height;
use crate::computed::{high_f, twins};
use crate::fingering_chart::{CHART, FIRST, charted};
use crate::instrument::Instrument;
use crate::series::{Side, Tube, Valves};
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

impl Fingering {
    /// The chart's own entry for this tube and partial.
    fn in_chart(self) -> Option<&'static Self> {
        charted(self.tube.partial(self.partial).height())
            .iter()
            .find(|way| way.tube == self.tube && way.partial == self.partial)
    }

    /// Where it comes from: the published chart, or the harmonic series where the chart has none.
    #[must_use]
    pub fn source(self) -> Source {
        self.in_chart()
            .map_or(Source::Computed, |_| fingering_source())
    }

    /// Who says that players use it as a matter of course, or that they do not.
    #[must_use]
    pub fn common_source(self) -> Source {
        match self.in_chart() {
            Some(way) if way.common == self.common => fingering_source(),
            _ => Source::ProjectChoice,
        }
    }
}

/// Every fingering of a note on an instrument, common ones first; none where the instrument has no such note.
///
/// The double horn's are the published chart's; a single horn's are those of its side, and what the chart leaves
/// out on the B flat side only because the F side has it. The triple horn adds the high F side. The chart judges
/// what is common with both sides at hand: where a single horn has nothing but a rare fingering for a note that is
/// ordinary on the double, its best one in tune is held to be common there, which is bellhand's own choice.
#[must_use]
pub fn fingerings(instrument: Instrument, height: Height) -> &'static [Fingering] {
    let table = match instrument {
        Instrument::Double => return charted(height),
        Instrument::SingleF => &*SINGLE_F,
        Instrument::SingleBFlat => &*SINGLE_B_FLAT,
        Instrument::Triple => &*TRIPLE,
    };
    table
        .get(&height.midi())
        .map(Vec::as_slice)
        .unwrap_or_default()
}

/// Whether an instrument has a note as a matter of course: with a fingering that players commonly use.
#[must_use]
pub fn has_ordinarily(instrument: Instrument, height: Height) -> bool {
    fingerings(instrument, height).iter().any(|way| way.common)
}

/// Fingerings by the MIDI number of their note, written for horn in F.
type Table = BTreeMap<i32, Vec<Fingering>>;

static SINGLE_F: LazyLock<Table> = LazyLock::new(|| single(Side::F, Vec::new()));
static SINGLE_B_FLAT: LazyLock<Table> = LazyLock::new(|| single(Side::BFlat, twins()));
static TRIPLE: LazyLock<Table> = LazyLock::new(|| {
    let mut table = chart(|_| true);
    add(&mut table, high_f());
    table
});

/// The chart's entries for which something holds.
fn chart(holds: impl Fn(&Fingering) -> bool) -> Table {
    (FIRST..FIRST + CHART.len() as i32)
        .map(|midi| {
            let ways = charted(Height::from_midi(midi)).iter().copied();
            (midi, ways.filter(&holds).collect::<Vec<_>>())
        })
        .filter(|(_, ways)| !ways.is_empty())
        .collect()
}

/// Puts more fingerings in, each behind those of its kind.
fn add(table: &mut Table, more: Vec<(Height, Fingering)>) {
    for (height, way) in more {
        let ways = table.entry(height.midi()).or_default();
        ways.push(way);
        ways.sort_by_key(|way| !way.common);
    }
}

/// The fingerings of a horn with one side.
fn single(side: Side, more: Vec<(Height, Fingering)>) -> Table {
    let mut table = chart(|way| way.tube.side == side);
    add(&mut table, more);
    for (midi, ways) in &mut table {
        let ordinary = charted(Height::from_midi(*midi))
            .iter()
            .any(|way| way.common);
        if !ordinary || ways.iter().any(|way| way.common) {
            continue;
        }
        let best = ways
            .iter_mut()
            .filter(|way| way.partial > 1)
            .min_by_key(|way| (way.cents.unsigned_abs(), way.tube.valves.count()));
        if let Some(best) = best {
            best.common = true;
        }
        ways.sort_by_key(|way| !way.common);
    }
    table
}

/// Where the double horn's fingerings come from.
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

    fn height(name: &str) -> Height {
        Height(name.parse().unwrap())
    }

    /// The double horn's, as the chart has them.
    fn fingerings(height: Height) -> &'static [Fingering] {
        super::fingerings(Instrument::Double, height)
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
    fn what_is_common_is_the_charts_word_but_on_a_horn_of_one_side() {
        let (mut charts, mut ours) = (0, 0);
        for midi in FIRST..FIRST + CHART.len() as i32 {
            let note = Height::from_midi(midi);
            for way in fingerings(note) {
                assert_eq!(way.common_source(), fingering_source(), "{note}: {way}");
                charts += 1;
            }
            for way in super::fingerings(Instrument::SingleBFlat, note) {
                let chart = fingerings(note)
                    .iter()
                    .find(|w| w.tube == way.tube && w.partial == way.partial);
                if chart.is_none_or(|chart| chart.common != way.common) {
                    assert_eq!(way.common_source(), Source::ProjectChoice, "{note}: {way}");
                    ours += 1;
                }
            }
        }
        println!("{charts} judged by the chart, {ours} by this project");
        assert_eq!((charts, ours), (191, 8));
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

    fn common(instrument: Instrument, name: &str) -> Vec<String> {
        super::fingerings(instrument, height(name))
            .iter()
            .filter(|way| way.common)
            .map(ToString::to_string)
            .collect()
    }

    #[test]
    fn single_horns_have_their_side_alone() {
        let mut compared = 0;
        for (instrument, side) in [
            (Instrument::SingleF, Side::F),
            (Instrument::SingleBFlat, Side::BFlat),
        ] {
            for midi in FIRST..FIRST + CHART.len() as i32 {
                let note = Height::from_midi(midi);
                let ways = super::fingerings(instrument, note);
                assert!(ways.is_sorted_by_key(|way| !way.common), "{note}");
                for way in ways {
                    assert_eq!(way.tube.side, side, "{instrument}: {note}");
                }
                for way in fingerings(note).iter().filter(|way| way.tube.side == side) {
                    let same = |other: &&Fingering| {
                        other.tube == way.tube
                            && other.partial == way.partial
                            && other.cents == way.cents
                            && (other.common || !way.common)
                    };
                    assert!(ways.iter().any(|other| same(&other)), "{note}: {way}");
                    compared += 1;
                }
            }
        }
        println!("{compared} entries of the chart found on the single horns");
        assert_eq!(compared, 191);
    }

    #[test]
    fn single_horns_play_with_what_they_have() {
        let flat = |name| common(Instrument::SingleBFlat, name);
        assert_eq!(flat("G3"), ["B♭ side 13"]);
        assert_eq!(flat("F#3"), ["B♭ side 123"]);
        assert_eq!(flat("B2"), ["B♭ side 123"]);
        assert_eq!(flat("A4"), ["B♭ side open (0)", "B♭ side 12"]);
        let f = |name| common(Instrument::SingleF, name);
        assert_eq!(f("A5"), ["F side 12"]);
        assert_eq!(f("C6"), ["F side open (0)"]);
        let missing = |instrument: Instrument| -> Vec<String> {
            (height("E2").midi()..=height("C6").midi())
                .map(Height::from_midi)
                .filter(|note| !has_ordinarily(instrument, *note))
                .map(|note| note.to_string())
                .collect()
        };
        assert!(missing(Instrument::Double).is_empty());
        assert!(missing(Instrument::Triple).is_empty());
        assert_eq!(missing(Instrument::SingleF), ["E2", "F2"]);
        assert_eq!(
            missing(Instrument::SingleBFlat),
            ["F#2", "G2", "Ab2", "A2", "Bb2"]
        );
    }

    #[test]
    fn the_triple_adds_its_high_side() {
        for midi in FIRST..FIRST + CHART.len() as i32 {
            let note = Height::from_midi(midi);
            let without: Vec<Fingering> = super::fingerings(Instrument::Triple, note)
                .iter()
                .copied()
                .filter(|way| way.tube.side != Side::HighF)
                .collect();
            assert_eq!(without, fingerings(note), "{note}");
        }
        assert_eq!(
            common(Instrument::Triple, "C6"),
            ["B♭ side open (0)", "high F side open (0)"]
        );
        let top = super::fingerings(Instrument::Triple, height("C6"));
        let high = top.iter().find(|way| way.tube.side == Side::HighF);
        let high = high.unwrap();
        assert_eq!((high.partial, high.cents), (8, 0));
        assert_eq!(high.source(), Source::Computed);
        assert_eq!(high.common_source(), Source::ProjectChoice);
        assert_eq!(top[0].common_source(), fingering_source());
    }
}
