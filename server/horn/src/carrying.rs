//! How far the instruments around a horn carry, and when they cover it.

use theory::Letter;

use crate::compass::Height;
use crate::dynamics::Dynamic;
use crate::orchestra_instrument::Family;
use crate::source::{RIMSKY_COMPASS, Source, Sourced};

impl Family {
    /// How much one part carries in forte, in units of one woodwind instrument: a section of strings or a horn equals
    /// two, a trumpet, trombone or tuba two horns. Nothing is known of others.
    #[must_use]
    pub const fn forte(self) -> Sourced<f64> {
        let units = match self {
            Self::Woodwind => 1.0,
            Self::Horns | Self::Strings => 2.0,
            Self::Brass => 4.0,
            Self::Others => 0.0,
        };
        Sourced::new(units, BALANCE)
    }

    /// The same in piano, where every wind instrument and every section of strings is equal.
    #[must_use]
    pub const fn piano(self) -> Sourced<f64> {
        let units = match self {
            Self::Others => 0.0,
            _ => 1.0,
        };
        Sourced::new(units, BALANCE)
    }

    /// The force of one part at a loudness, in units of one woodwind instrument in piano.
    ///
    /// Between piano and forte the published ratios are joined by a straight line over mp and mf, which is this
    /// project's choice. One degree louder counts as twice as much: it is what the source has a composer write where
    /// horns cannot be doubled (p. 85).
    #[must_use]
    pub fn force(self, loudness: Loudness) -> f64 {
        let way = (loudness.0 / Loudness::of(Dynamic::F).0).clamp(0.0, 1.0);
        let units = self.piano().value + (self.forte().value - self.piano().value) * way;
        units * loudness.0.exp2()
    }
}

/// A loudness in degrees above piano: mp is 1, mf 2, f 3, pp -1.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Loudness(pub f64);

impl Loudness {
    /// The loudness of a mark.
    #[must_use]
    pub fn of(dynamic: Dynamic) -> Self {
        Self(f64::from(dynamic.degrees()))
    }
}

/// How loud a stopped or muted horn is heard at most, whatever is marked.
#[must_use]
pub const fn loudest_closed() -> Sourced<Dynamic> {
    Sourced::new(
        Dynamic::MF,
        Source::Published {
            author: "Ericson",
            title: "Horn Matters",
            year: "2008",
            place: "on stopped notes",
        },
    )
}

/// The ratios of loudness between the families.
const BALANCE: Source = Source::Published {
    author: "Rimsky-Korsakov",
    title: "Principles of Orchestration",
    year: "1922",
    place: "p. 33",
};

/// How many times the horn's own weight the others must have to cover it.
/// Chosen: that heavy scoring over a solo is bad writing is said by many, how heavy by none.
#[must_use]
pub const fn covered_by() -> Sourced<f64> {
    Sourced::new(4.0, Source::ProjectChoice)
}

/// Below this a solo is weak whatever plays around it: the bottom of the notes of greatest expression, C4.
#[must_use]
pub const fn weak_below() -> Sourced<Height> {
    Sourced::new(Height::new(Letter::C, 0, 4), RIMSKY_COMPASS)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_published_ratios_hold() {
        let force = |family: Family, dynamic| family.force(Loudness::of(dynamic));
        use Family::{Brass, Horns, Others, Strings, Woodwind};
        let close = |one: f64, other: f64| (one - other).abs() < 1e-9;
        // In piano all are equal; in forte one trumpet is two horns, and a horn or a section of strings two woodwinds.
        for family in [Woodwind, Horns, Strings, Brass] {
            assert!(close(force(family, Dynamic::P), 1.0), "{family:?}");
            // A degree louder makes up for a doubling that cannot be had.
            let [soft, softer] = [Dynamic::P, Dynamic::PP].map(|dynamic| force(family, dynamic));
            assert!(close(soft, 2.0 * softer), "{family:?}");
        }
        let horn = force(Horns, Dynamic::F);
        assert!(close(force(Brass, Dynamic::F), 2.0 * horn));
        assert!(close(force(Strings, Dynamic::F), horn));
        assert!(close(force(Woodwind, Dynamic::F), horn / 2.0));
        assert!(close(force(Brass, Dynamic::FF), 4.0 * horn));
        // Between them lies a straight line: a third and two thirds of the way.
        assert!(close(force(Horns, Dynamic::MP), 2.0 * (1.0 + 1.0 / 3.0)));
        assert!(close(force(Brass, Dynamic::MF), 4.0 * 3.0));
        assert!(close(force(Others, Dynamic::FF), 0.0));
    }
}
