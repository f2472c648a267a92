//! Tempo and the map from musical time to seconds.

use std::fmt;

use crate::time::Quarters;

/// A span of clock time in seconds.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Seconds(pub f64);

impl fmt::Display for Seconds {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:.1} s", self.0)
    }
}

impl std::ops::Sub for Seconds {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

/// A speed, in quarter notes a minute.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Tempo(f64);

impl Tempo {
    /// The slowest and fastest that is believed, in quarter notes a minute; beyond is held to them.
    const RANGE: (f64, f64) = (1.0, 2000.0);

    /// Whether so many beats a minute, of whatever length, could be meant.
    #[must_use]
    pub fn is_believed(beats: f64) -> bool {
        beats > 0.0 && beats <= Self::RANGE.1
    }

    /// A tempo of so many quarter notes a minute.
    #[must_use]
    pub fn quarters_a_minute(rate: f64) -> Self {
        let rate = if rate.is_finite() {
            rate
        } else {
            Self::RANGE.0
        };
        Self(rate.clamp(Self::RANGE.0, Self::RANGE.1))
    }

    /// A tempo of `rate` beats a minute, each beat so many quarter notes long.
    #[must_use]
    pub fn beats_a_minute(beat: Quarters, rate: f64) -> Self {
        Self::quarters_a_minute(beat.to_f64() * rate)
    }

    /// Quarter notes a minute.
    #[must_use]
    pub const fn rate(self) -> f64 {
        self.0
    }

    /// How long a span of musical time lasts.
    #[must_use]
    pub fn duration(self, span: Quarters) -> Seconds {
        Seconds(span.to_f64() * 60.0 / self.0)
    }
}

/// Where a tempo comes from; a guess is told as one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TempoSource {
    /// A number in the file.
    Marked,
    /// A tempo word in the file ("Andante"), taken at its usual speed.
    Word,
    /// A tempo word in the title of the piece or movement, taken at its usual speed.
    Title,
    /// Nothing says; the assumed speed.
    Assumed,
}

/// The speed at every place of a piece.
#[derive(Debug, Clone, PartialEq)]
pub struct TempoMap {
    /// Changes in order of time: where, the seconds passed by then, and the tempo from there.
    changes: Vec<(Quarters, f64, Tempo, TempoSource)>,
}

impl TempoMap {
    /// A map that starts at an assumed tempo.
    #[must_use]
    pub fn assuming(tempo: Tempo) -> Self {
        Self {
            changes: vec![(Quarters::ZERO, 0.0, tempo, TempoSource::Assumed)],
        }
    }

    /// Adds a change; changes must come in order of time, and one at the place of the last replaces it.
    pub fn change(&mut self, at: Quarters, tempo: Tempo, source: TempoSource) {
        let seconds = self.seconds(at).0;
        if self.changes.last().is_some_and(|last| last.0 >= at) {
            self.changes.pop();
        }
        self.changes.push((at, seconds, tempo, source));
    }

    /// The change in force at a place.
    fn in_force(&self, at: Quarters) -> (Quarters, f64, Tempo, TempoSource) {
        // Most pieces go on as they begin.
        if let [only] = self.changes[..] {
            return only;
        }
        let after = self.changes.partition_point(|change| change.0 <= at);
        self.changes
            .get(after.saturating_sub(1))
            .copied()
            .unwrap_or((Quarters::ZERO, 0.0, Tempo(120.0), TempoSource::Assumed))
    }

    /// Every tempo from the start on: from when, in quarter notes from the start of the piece, and which.
    pub fn changes(&self) -> impl Iterator<Item = (Quarters, Tempo)> {
        self.changes.iter().map(|(at, _, tempo, _)| (*at, *tempo))
    }

    /// The tempo in force at a place, and where it comes from.
    #[must_use]
    pub fn tempo(&self, at: Quarters) -> (Tempo, TempoSource) {
        let (_, _, tempo, source) = self.in_force(at);
        (tempo, source)
    }

    /// Seconds from the start of the piece to a place in it.
    #[must_use]
    pub fn seconds(&self, at: Quarters) -> Seconds {
        let (from, passed, tempo, _) = self.in_force(at);
        Seconds(passed + tempo.duration(at - from).0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn seconds_add_up_over_changes() {
        let mut map = TempoMap::assuming(Tempo::quarters_a_minute(60.0));
        map.change(
            Quarters::whole(4),
            Tempo::quarters_a_minute(120.0),
            TempoSource::Marked,
        );
        assert!((map.seconds(Quarters::whole(4)).0 - 4.0).abs() < 1e-9);
        assert!((map.seconds(Quarters::whole(6)).0 - 5.0).abs() < 1e-9);
        assert_eq!(map.tempo(Quarters::ONE).1, TempoSource::Assumed);
        assert_eq!(map.tempo(Quarters::whole(5)).1, TempoSource::Marked);
    }

    #[test]
    fn a_change_at_the_start_replaces_the_assumption() {
        let mut map = TempoMap::assuming(Tempo::quarters_a_minute(60.0));
        map.change(
            Quarters::ZERO,
            Tempo::beats_a_minute(Quarters::new(3, 2), 80.0),
            TempoSource::Marked,
        );
        assert!((map.tempo(Quarters::ZERO).0.rate() - 120.0).abs() < 1e-9);
    }

    #[test]
    fn impossible_speeds_are_held() {
        assert!(Tempo::quarters_a_minute(f64::NAN).rate() > 0.0);
        assert!(
            Tempo::quarters_a_minute(0.0)
                .duration(Quarters::ONE)
                .0
                .is_finite()
        );
    }
}
