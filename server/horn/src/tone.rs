//! Where the horn's special sounds speak: half-stopped, brassy, fluttered.

use theory::Letter;

use crate::compass::Height;
use crate::dynamics::Dynamic;
use crate::source::{Source, Sourced};

/// The loudest dynamic at which a half-stopped note keeps its sound.
#[must_use]
pub const fn loudest_half_stopped() -> Sourced<Dynamic> {
    Sourced::new(
        Dynamic::MF,
        Source::Published {
            author: "Wikipedia",
            title: "List of horn techniques",
            year: "undated",
            place: "on half-stopping, after Hill",
        },
    )
}

/// The softest dynamic at which a note can be brassy. That brassy is a forced tone is common practice; where it ends
/// was found nowhere and is chosen.
#[must_use]
pub const fn softest_brassy() -> Sourced<Dynamic> {
    Sourced::new(Dynamic::MP, Source::ProjectChoice)
}

/// The lowest note to be fluttered, written for horn in F. No source gives one; chosen.
#[must_use]
pub const fn lowest_flutter() -> Sourced<Height> {
    Sourced::new(Height::new(Letter::G, 0, 3), Source::ProjectChoice)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_veil_tears_louder_than_the_metal_begins_to_ring() {
        assert!(softest_brassy().value < loudest_half_stopped().value);
        assert!(!loudest_half_stopped().value.is_loud());
    }
}
