//! When a mark over a horn part says nothing to the horns alone, since others have it too.

use crate::source::{Source, Sourced};

/// How many other parts of a brass band make a horn in E flat beside them doubtful. Chosen; one cornet stands in many
/// orchestras, two instruments of the band in few.
#[must_use]
pub const fn others_that_make_a_brass_band() -> Sourced<usize> {
    Sourced::new(2, Source::ProjectChoice)
}

/// In how many parts besides the horns a mark must stand before it is anything but the horns' own; in fewer, several
/// players may each be meant. Chosen; no source names the line between.
#[must_use]
pub const fn others_that_share_a_mark() -> Sourced<usize> {
    Sourced::new(3, Source::ProjectChoice)
}
