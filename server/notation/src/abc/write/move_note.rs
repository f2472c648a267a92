//! Writing another pitch in a note's place.

use score::Span;
use theory::WrittenPitch;

use super::{Source, cannot, octaves, pitch};
use crate::edit::{CannotWrite, TextEdit};

/// The note, and all it is tied to, gets the pitch with whatever accidental it then needs.
pub(super) fn write(
    source: &Source<'_>,
    note: Span,
    to: WrittenPitch,
) -> Result<Vec<TextEdit>, CannotWrite> {
    if pitch::sign(to.0.alteration.0).is_none() {
        return cannot("ABC has no accidental for more than a double sharp or flat");
    }
    octaves::repitched(source, &[note], |_| to.0)
}
