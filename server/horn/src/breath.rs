//! How long one breath lasts, by how loud and how high it is played.

use theory::{Letter, Seconds};

use crate::compass::{Height, Level};
use crate::dynamics::Dynamic;
use crate::source::{Source, Sourced};

/// How air is spent.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum AirUse {
    /// p and softer.
    Soft,
    /// mp, mf, or nothing said.
    Medium,
    /// f and louder.
    Loud,
}

impl AirUse {
    /// Every kind, the thriftiest first.
    pub const ALL: [Self; 3] = [Self::Soft, Self::Medium, Self::Loud];

    /// The air a dynamic takes.
    #[must_use]
    pub fn of(dynamic: Option<Dynamic>) -> Self {
        match dynamic {
            Some(dynamic) if dynamic.is_soft() => Self::Soft,
            Some(dynamic) if dynamic.is_loud() => Self::Loud,
            _ => Self::Medium,
        }
    }
}

/// How long a breath lasts.
///
/// No table by dynamic is published for the horn. Wolfe (University of New South Wales, undated) gives 0.1 to
/// 1 litre a second for wind instruments: five litres last 50 s at the one end and 5 s at the other. The values
/// are chosen well inside.
#[must_use]
pub fn breath_lasts(air: AirUse, level: Level) -> Sourced<Seconds> {
    let seconds = match air {
        AirUse::Soft => level.pick(12.0, 18.0, 25.0),
        AirUse::Medium => level.pick(9.0, 13.0, 18.0),
        AirUse::Loud => level.pick(6.0, 9.0, 12.0),
    };
    Sourced::new(Seconds(seconds), Source::ProjectChoice)
}

/// What share of its time a breath lasts on written C3 and lower, where the horn takes most air.
///
/// That low notes take more air than high ones is known to every player; no source gives a number, and this is chosen.
#[must_use]
pub const fn breath_low() -> Sourced<f64> {
    Sourced::new(0.6, Source::ProjectChoice)
}

/// What share of its time a breath lasts on written A5 and higher, where the horn takes little air. Chosen as
/// [`breath_low`] is.
#[must_use]
pub const fn breath_high() -> Sourced<f64> {
    Sourced::new(1.2, Source::ProjectChoice)
}

/// Where low notes take the most air, where the middle begins and ends, and where high notes take the least.
const AIR_BOUNDS: [Height; 4] = [
    Height::new(Letter::C, 0, 3),
    Height::new(Letter::C, 0, 4),
    Height::new(Letter::C, 0, 5),
    Height::new(Letter::A, 0, 5),
];

/// What share of its time a breath lasts on a note: `low` on C3 and lower, all of it from C4 to C5, `high` on A5 and
/// higher, and evenly between.
#[must_use]
pub fn breath_share(height: Height, low: f64, high: f64) -> f64 {
    let [bottom, from, to, top] = AIR_BOUNDS.map(|bound| f64::from(bound.midi()));
    let at = f64::from(height.midi());
    let part_of = |from: f64, to: f64| ((at - from) / (to - from)).clamp(0.0, 1.0);
    if at < from {
        low + (1.0 - low) * part_of(bottom, from)
    } else {
        1.0 + (high - 1.0) * part_of(to, top)
    }
}

/// How many breaths' worth a line may go on without a rest where notes begin anew, so that a player snatches air
/// before one of them. Chosen; no source gives a number.
#[must_use]
pub const fn breaths_with_snatching() -> Sourced<f64> {
    Sourced::new(1.5, Source::ProjectChoice)
}

/// The shortest rest in which a player takes a full breath. Chosen; no source gives a number.
#[must_use]
pub const fn time_to_breathe() -> Sourced<Seconds> {
    Sourced::new(Seconds(0.3), Source::ProjectChoice)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn softer_and_better_last_longer() {
        for level in Level::ALL {
            for pair in AirUse::ALL.windows(2) {
                assert!(breath_lasts(pair[0], level).value > breath_lasts(pair[1], level).value);
            }
        }
        for air in AirUse::ALL {
            for pair in Level::ALL.windows(2) {
                let (less, more) = (breath_lasts(air, pair[0]), breath_lasts(air, pair[1]));
                assert!(less.value < more.value);
                // Inside what five litres allow.
                assert!((5.0..=50.0).contains(&less.value.0) && more.value.0 <= 50.0);
            }
        }
        let share = |name: &str| breath_share(Height(name.parse().unwrap()), 0.6, 1.2);
        for (name, wanted) in [
            ("C2", 0.6),
            ("C3", 0.6),
            ("F#3", 0.8),
            ("C4", 1.0),
            ("C5", 1.0),
            ("A5", 1.2),
            ("C6", 1.2),
        ] {
            assert!(
                (share(name) - wanted).abs() < 1e-9,
                "{name}: {}",
                share(name)
            );
        }
        let rising = (36..96).map(|midi| {
            breath_share(
                Height::from_midi(midi),
                breath_low().value,
                breath_high().value,
            )
        });
        assert!(rising.collect::<Vec<_>>().is_sorted());
        assert_eq!(AirUse::of(None), AirUse::Medium);
        assert_eq!(AirUse::of(Some(Dynamic::PP)), AirUse::Soft);
        assert_eq!(AirUse::of(Some(Dynamic::FF)), AirUse::Loud);
    }
}
