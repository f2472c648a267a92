//! What playing costs the lip and what rest gives back: this project's model, open to be changed.
//!
//! The load of a note is its length in seconds, times a factor for its height, times a factor for its loudness.
//! One unit is one second of mezzo forte on written C5. Rest takes load off at a steady rate, never below none.
//! No published measure stands behind it: it says what teachers say (high, loud and long tires; rest heals) in
//! numbers that can be set.

use theory::{Letter, Seconds};

use crate::compass::{Height, Level};
use crate::dynamics::Dynamic;
use crate::source::{Source, Sourced};

/// The height whose factor is one.
const MIDDLE: Height = Height::new(Letter::C, 0, 5);
/// In so many semitones upward the load doubles.
const DOUBLES_IN: f64 = 7.0;
/// The least a low note counts.
const LEAST: f64 = 0.5;

/// The note on which a second of mf is one unit of load; bellhand's own choice.
#[must_use]
pub const fn middle_of_load() -> Height {
    MIDDLE
}

/// What a second on a note loads: 1 on written C5, twice that a fifth higher, never less than a half.
#[must_use]
pub fn height_load(height: Height) -> f64 {
    let above = f64::from(height.midi() - MIDDLE.midi());
    (above / DOUBLES_IN).exp2().max(LEAST)
}

/// What loudness makes of it: 1 for mf or nothing said, 0.8 for p, 1.3 for f, 1.6 for ff and louder.
#[must_use]
pub fn loudness_load(dynamic: Option<Dynamic>) -> f64 {
    match dynamic {
        Some(dynamic) if dynamic >= Dynamic::FF => 1.6,
        Some(dynamic) if dynamic.is_loud() => 1.3,
        Some(dynamic) if dynamic.is_soft() => 0.8,
        _ => 1.0,
    }
}

/// The load a player carries before the lip tires: so many seconds of mf on written C5 without rest. Chosen.
#[must_use]
pub fn lip_capacity(level: Level) -> Sourced<Seconds> {
    Sourced::new(
        Seconds(level.pick(50.0, 100.0, 180.0)),
        Source::ProjectChoice,
    )
}

/// The load that a second of rest takes off. Chosen.
#[must_use]
pub const fn lip_recovery() -> Sourced<f64> {
    Sourced::new(1.5, Source::ProjectChoice)
}

/// What part of the capacity must be added to the load, or have come back, before a player would speak of it again.
/// Chosen.
#[must_use]
pub const fn lip_told_again() -> Sourced<f64> {
    Sourced::new(0.5, Source::ProjectChoice)
}

/// The note from which one is in the high register for long: the first above the top line.
///
/// That horns cannot stay above the staff for long stands in Ericson, "Composers who can't write for the horn"
/// (hornmatters.com, 2008); from which note for which level is chosen.
#[must_use]
pub fn high_from(level: Level) -> Sourced<Height> {
    let height = level.pick(
        Height::new(Letter::C, 0, 5),
        Height::new(Letter::E, 0, 5),
        Height::new(Letter::G, 0, 5),
    );
    Sourced::new(height, Source::ProjectChoice)
}

/// How long to stay there, time spent lower or at rest counted off. Chosen; no source gives a number.
#[must_use]
pub fn high_for(level: Level) -> Sourced<Seconds> {
    Sourced::new(Seconds(level.pick(10.0, 15.0, 20.0)), Source::ProjectChoice)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn higher_and_louder_loads_more() {
        let load = |name: &str| height_load(Height(name.parse().unwrap()));
        assert!((load("C5") - 1.0).abs() < 1e-9);
        assert!((load("G5") - 2.0).abs() < 1e-9);
        assert!((load("C3") - LEAST).abs() < 1e-9);
        assert!(load("C6") > load("A5") && load("A5") > load("F5"));
        let marks = ["p", "mf", "f", "ff"].map(Dynamic::read);
        assert!(marks.map(loudness_load).is_sorted());
        assert!((loudness_load(None) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn better_players_last_longer() {
        for pair in Level::ALL.windows(2) {
            assert!(lip_capacity(pair[0]).value < lip_capacity(pair[1]).value);
            assert!(high_for(pair[0]).value < high_for(pair[1]).value);
            assert!(high_from(pair[0]).value < high_from(pair[1]).value);
        }
    }
}
