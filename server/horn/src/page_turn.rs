//! How long a player needs to turn a page.

use theory::Seconds;

use crate::source::{Source, Sourced};

/// The shortest rest in which a page is turned: a hand leaves the instrument, turns, and is back before the next breath.
///
/// No published figure was found; this is a chosen default.
#[must_use]
pub const fn time_to_turn_page() -> Sourced<Seconds> {
    Sourced::new(Seconds(3.0), Source::ProjectChoice)
}
