//! How long a player needs to put a mute in and to take it out.

use theory::Seconds;

use crate::source::{Source, Sourced};

/// Clock time to put the mute in. No published figure for horn was found; this is a chosen default.
#[must_use]
pub const fn time_to_insert() -> Sourced<Seconds> {
    Sourced::new(Seconds(3.0), Source::ProjectChoice)
}

/// Clock time to take the mute out. No published figure for horn was found; this is a chosen default.
#[must_use]
pub const fn time_to_remove() -> Sourced<Seconds> {
    Sourced::new(Seconds(2.0), Source::ProjectChoice)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn putting_in_takes_longer_than_taking_out() {
        assert!(time_to_insert().value > time_to_remove().value);
    }
}
