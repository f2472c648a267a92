//! Writing another pitch in a note's place.

use score::Span;
use theory::WrittenPitch;

use super::{Source, octaves};
use crate::edit::{CannotWrite, TextEdit};
use crate::writing::notes::moved_on_page;

/// The note, and all it is tied to, gets the pitch with whatever accidental it then needs.
pub(super) fn write(
    source: &Source<'_>,
    note: Span,
    from: WrittenPitch,
    to: WrittenPitch,
) -> Result<Vec<TextEdit>, CannotWrite> {
    octaves::repitched(source, &[note], |old| moved_on_page(old, from, to))
}
