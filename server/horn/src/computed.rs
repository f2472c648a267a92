//! Fingerings worked out from the harmonic series, for what no published chart prints.

use std::fmt;

use crate::compass::Height;
use crate::fingering::Fingering;
use crate::fingering_chart::{CHART, FIRST, charted};
use crate::lines::leap_from;
use crate::series::{Side, Tube, Valves};
use crate::source::{Source, Sourced};

/// The partials that are looked for on every tube.
const PARTIALS: std::ops::RangeInclusive<u8> = 1..=16;
/// How far one of the partials 7, 11, 13 and 14 may lie off and still be printed by the chart, in cents.
const OFF_PITCH: f64 = 25.0;

/// Why the published chart leaves out what the harmonic series gives.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LeftOut {
    /// Partial 7, 11, 13 or 14 on a tube that does not bring it near its note.
    OffPitch,
    /// Partial 9, sharp by itself, on 123 of any side or 13 of the B flat side, which run sharp too.
    SharpNinth,
    /// Partial 1, 2, 4, 8 or 16 of 123 on the B flat side: the F side's 2 is the same length, and in tune.
    TwinOnFSide,
    /// Above E6, where the chart ends.
    AboveChart,
}

impl fmt::Display for LeftOut {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::OffPitch => "partials 7, 11, 13 and 14 off pitch",
            Self::SharpNinth => "partial 9 on long, sharp valves",
            Self::TwinOnFSide => "octaves of B♭ 123 that F 2 has in tune",
            Self::AboveChart => "above the chart",
        })
    }
}

/// The class of left-out fingerings that a partial of a tube belongs to; `None` when a chart prints it.
fn left_out(tube: Tube, partial: u8) -> Option<LeftOut> {
    let long = tube.valves == Valves::AllThree
        || (tube.valves == Valves::FirstThird && tube.side == Side::BFlat);
    let twin = tube.side == Side::BFlat && tube.valves == Valves::AllThree;
    let at = tube.partial(partial);
    if at.is_off_pitch() && cents(tube, partial).abs() > OFF_PITCH {
        Some(LeftOut::OffPitch)
    } else if partial == 9 && long {
        Some(LeftOut::SharpNinth)
    } else if twin && partial.is_power_of_two() {
        Some(LeftOut::TwinOnFSide)
    } else if tube.side != Side::HighF && at.height().midi() >= FIRST + CHART.len() as i32 {
        Some(LeftOut::AboveChart)
    } else {
        None
    }
}

/// How far a fingering lies off equal temperament, in cents: the partial, and the valves together.
fn cents(tube: Tube, partial: u8) -> f64 {
    tube.partial(partial).cents() + f64::from(tube.valves.cents().value)
}

/// A fingering with its cents as the chart prints them, to the nearest five.
fn fingering(tube: Tube, partial: u8, common: bool) -> Fingering {
    Fingering {
        tube,
        partial,
        cents: ((cents(tube, partial) / 5.0).round() * 5.0) as i8,
        common,
    }
}

/// Every valve combination and partial of a side, with why the chart leaves it out, if it does.
fn combinations(side: Side) -> impl Iterator<Item = (Tube, u8, Option<LeftOut>)> {
    Valves::ALL.into_iter().flat_map(move |valves| {
        let tube = Tube { side, valves };
        PARTIALS.map(move |partial| (tube, partial, left_out(tube, partial)))
    })
}

/// The fingerings of the high F side, each with its note.
///
/// The double horn's chart prints none. What it leaves out on the F side is left out here. Players use one as a
/// matter of course where the chart holds the same valves and partial of the F side, an octave lower, to be
/// common, and where that side is for; see [`high_f_side`].
pub(crate) fn high_f() -> Vec<(Height, Fingering)> {
    let (from, to) = high_f_side().value;
    combinations(Side::HighF)
        .filter(|(_, _, left_out)| left_out.is_none())
        .map(|(tube, partial, _)| {
            let height = tube.partial(partial).height();
            let common_on_f = charted(Height::from_midi(height.midi() - 12))
                .iter()
                .any(|way| {
                    way.common
                        && way.tube.side == Side::F
                        && way.tube.valves == tube.valves
                        && way.partial == partial
                });
            let common = common_on_f && (from..=to).contains(&height);
            (height, fingering(tube, partial, common))
        })
        .collect()
}

/// Where the high F side is for, lowest and highest note: from the first note above the staff, where the
/// partials of the other sides crowd together, to the last that any player is asked for.
///
/// No source read says where players change to it; this is the project's choice.
#[must_use]
pub fn high_f_side() -> Sourced<(Height, Height)> {
    let top = Height::from_midi(crate::compass::beyond_all_players().value.midi() - 1);
    Sourced::new((leap_from().value, top), Source::ProjectChoice)
}

/// The fingerings of the B flat side that the chart leaves to the F side, each with its note.
pub(crate) fn twins() -> Vec<(Height, Fingering)> {
    combinations(Side::BFlat)
        .filter(|(_, _, left_out)| *left_out == Some(LeftOut::TwinOnFSide))
        .map(|(tube, partial, _)| {
            (
                tube.partial(partial).height(),
                fingering(tube, partial, false),
            )
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;

    #[test]
    fn the_chart_and_the_series_agree_both_ways() {
        let mut printed = 0;
        for midi in FIRST..FIRST + CHART.len() as i32 {
            for way in charted(Height::from_midi(midi)) {
                let again = fingering(way.tube, way.partial, way.common);
                let height = way.tube.partial(way.partial).height();
                assert_eq!(height.midi(), midi, "{way}");
                assert_eq!(left_out(way.tube, way.partial), None, "{height}: {way}");
                // The chart's fives are rounded by eye: no more than half a five off.
                let off = cents(way.tube, way.partial) - f64::from(way.cents);
                assert!(off.abs() <= 2.5, "{height}: {way} prints {}", way.cents);
                assert!((i32::from(again.cents) - i32::from(way.cents)).abs() <= 5);
                printed += 1;
            }
        }
        let (mut computed, mut found) = (0, 0);
        let mut classes: BTreeMap<LeftOut, i32> = BTreeMap::new();
        for (tube, partial, left_out) in [Side::F, Side::BFlat].into_iter().flat_map(combinations) {
            computed += 1;
            let height = tube.partial(partial).height();
            let in_chart = charted(height)
                .iter()
                .any(|way| way.tube == tube && way.partial == partial);
            assert_eq!(in_chart, left_out.is_none(), "{height}: {tube} {partial}");
            match left_out {
                Some(class) => *classes.entry(class).or_default() += 1,
                None => found += 1,
            }
        }
        println!("{printed} entries of the chart are all computed");
        println!("{computed} computed: {found} in the chart, left out:");
        for (class, count) in &classes {
            println!("  {count} {class}");
        }
        assert_eq!((printed, computed, found), (191, 256, 191));
        assert_eq!(
            classes.into_values().collect::<Vec<_>>(),
            [56, 3, 5, 1],
            "left-out classes"
        );
    }

    #[test]
    fn the_high_f_side_is_the_f_side_an_octave_higher() {
        let all = high_f();
        let mut compared = 0;
        for (height, way) in &all {
            let low = charted(Height::from_midi(height.midi() - 12));
            let twin = low.iter().find(|low| {
                low.tube.side == Side::F
                    && low.tube.valves == way.tube.valves
                    && low.partial == way.partial
            });
            let twin = twin.unwrap_or_else(|| panic!("{height}: {way}"));
            assert!((i32::from(twin.cents) - i32::from(way.cents)).abs() <= 5);
            assert!(twin.common || !way.common, "{height}: {way}");
            compared += 1;
        }
        let on_f = (FIRST..FIRST + CHART.len() as i32)
            .flat_map(|midi| charted(Height::from_midi(midi)))
            .filter(|way| way.tube.side == Side::F)
            .count();
        println!("{compared} fingerings of the high F side beside {on_f} of the F side");
        assert_eq!((compared, on_f), (99, 99));
        let common: Vec<_> = all
            .iter()
            .filter(|(_, way)| way.common)
            .map(|(height, _)| height.midi())
            .collect();
        let (from, to) = high_f_side().value;
        for midi in from.midi()..=to.midi() {
            assert!(common.contains(&midi), "{midi}");
        }
        assert_eq!(common.iter().min(), Some(&from.midi()));
    }
}
