//! A place in a text where something can be written, as its notation tells it.

use super::values::Values;

/// What can stand at a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Wanted {
    /// Words for the player.
    Words,
    /// A sign by its name.
    Sign,
    /// The name of a part.
    PartName,
    /// What a field can be set to.
    Value(Values),
    /// Music.
    Music,
}

/// A place in a text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Spot<'t> {
    pub(super) wanted: Wanted,
    /// What has been written of it.
    pub(super) typed: &'t str,
    /// How many bytes behind the place still belong to it.
    pub(super) over: usize,
    /// What must stand before it and does not yet.
    pub(super) opening: &'static str,
    /// What must stand behind it and does not yet.
    pub(super) closing: &'static str,
}

impl<'t> Spot<'t> {
    /// One with nothing to add around what is written.
    pub(super) const fn new(wanted: Wanted, typed: &'t str) -> Self {
        Self {
            wanted,
            typed,
            over: 0,
            opening: "",
            closing: "",
        }
    }

    /// The same, to be closed by a sign: one that stands in the rest of the line, with all before it, or else a new one.
    pub(super) fn closed_by(self, sign: &'static str, rest: &str) -> Self {
        // An even number of quotes behind the place belongs to what comes later.
        let open = rest.matches(sign).count() % 2 == 1;
        match rest.find(sign) {
            Some(over) if open => Self { over, ..self },
            _ => Self {
                closing: sign,
                ..self
            },
        }
    }
}
