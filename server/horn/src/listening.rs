//! How a part is played out to be heard, where its page leaves that to its players.

use theory::Seconds;

use crate::carrying::Loudness;
use crate::dynamics::Dynamic;
use crate::source::{Source, Sourced};

/// The pitch of A4, in hertz.
#[must_use]
pub const fn concert_a() -> Sourced<f64> {
    Sourced::new(
        440.0,
        Source::Published {
            author: "International Organization for Standardization",
            title: "ISO 16, Acoustics: Standard tuning frequency",
            year: "1975",
            place: "",
        },
    )
}

/// How loud a part is that says nothing: mf.
#[must_use]
pub fn loudness_where_none_is_marked() -> Sourced<Loudness> {
    Sourced::new(Loudness::of(Dynamic::MF), Source::ProjectChoice)
}

/// How long a small note before the beat lasts at most.
#[must_use]
pub const fn time_for_small_note() -> Sourced<Seconds> {
    Sourced::new(Seconds(0.08), Source::ProjectChoice)
}

/// How long all small notes before one note last at most.
#[must_use]
pub const fn time_for_small_notes() -> Sourced<Seconds> {
    Sourced::new(Seconds(1.0), Source::ProjectChoice)
}

/// What small notes take of the note before them at most, from 0 to 1.
#[must_use]
pub const fn share_for_small_notes() -> Sourced<f64> {
    Sourced::new(0.5, Source::ProjectChoice)
}

/// What a rip takes of the note that it leaves at most, from 0 to 1, however short that is.
#[must_use]
pub const fn share_for_rip() -> Sourced<f64> {
    Sourced::new(0.5, Source::ProjectChoice)
}
