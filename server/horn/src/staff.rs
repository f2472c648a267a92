//! Where the horn's notes are read with ease on the staff, and how horns weigh against other brass.

use theory::{Letter, Seconds};

use crate::compass::Height;
use crate::source::{Source, Sourced};

/// The lowest written note that players read with ease in treble clef.
///
/// Ericson (2008) says that players read the octave below the staff easily; the exact note is bellhand's own choice.
#[must_use]
pub const fn lowest_in_treble_clef() -> Sourced<Height> {
    Sourced::new(Height::new(Letter::D, 0, 3), Source::ProjectChoice)
}

/// The highest written note that belongs in bass clef; bellhand's own choice.
#[must_use]
pub const fn highest_in_bass_clef() -> Sourced<Height> {
    Sourced::new(Height::new(Letter::C, 0, 4), Source::ProjectChoice)
}

/// How many notes in a row far off the staff make a passage worth a change of clef; bellhand's own choice.
#[must_use]
pub const fn notes_for_a_clef() -> Sourced<f64> {
    Sourced::new(4.0, Source::ProjectChoice)
}

/// How many notes a clef has to hold for to be worth the change; bellhand's own choice.
#[must_use]
pub const fn notes_in_a_clef() -> Sourced<f64> {
    Sourced::new(4.0, Source::ProjectChoice)
}

/// How many changes of clef after fewer notes than that are too many in a row; bellhand's own choice.
#[must_use]
pub const fn clef_changes_in_a_row() -> Sourced<f64> {
    Sourced::new(4.0, Source::ProjectChoice)
}

/// How many horns balance one trumpet, trombone or tuba in forte.
#[must_use]
pub const fn horns_for_one_brass() -> Sourced<usize> {
    Sourced::new(
        2,
        Source::Published {
            author: "Rimsky-Korsakov",
            title: "Principles of Orchestration",
            year: "1922",
            place: "pp. 23, 33, 85",
        },
    )
}

/// For how many bars in a row the horns may be outweighed by the other brass. Chosen.
#[must_use]
pub const fn bars_outweighed() -> Sourced<f64> {
    Sourced::new(2.0, Source::ProjectChoice)
}

/// The rest in bars after which an entry wants its dynamic written again; bellhand's own choice.
#[must_use]
pub const fn rest_before_dynamic() -> Sourced<f64> {
    Sourced::new(12.0, Source::ProjectChoice)
}

/// The rest in seconds after which an entry wants a cue; bellhand's own choice.
#[must_use]
pub const fn rest_before_cue() -> Sourced<Seconds> {
    Sourced::new(Seconds(60.0), Source::ProjectChoice)
}
