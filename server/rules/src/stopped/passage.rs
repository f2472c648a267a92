//! The stopped passage a note stands in.

use reading::{Hand, HornPart, PlayedNote};

/// Every stopped passage of a part, by its notes' places; rests do not break one, an open note does.
pub(super) fn all(part: &HornPart) -> impl Iterator<Item = std::ops::Range<usize>> {
    let stopped = |note: &PlayedNote| note.technique.hand != Hand::Open;
    let mut end = 0;
    part.notes
        .chunk_by(move |a, b| stopped(a) == stopped(b))
        .filter_map(move |chunk| {
            let start = end;
            end += chunk.len();
            chunk.first().is_some_and(stopped).then_some(start..end)
        })
}

/// The notes around the note at `index` that are stopped in one go, by their places; rests do not break it,
/// an open note does.
pub(super) fn around(part: &HornPart, index: usize) -> std::ops::Range<usize> {
    let stopped = |note: &PlayedNote| note.technique.hand != Hand::Open;
    let before = part.notes[..index.min(part.notes.len())]
        .iter()
        .rev()
        .take_while(|note| stopped(note))
        .count();
    let after = part
        .notes
        .iter()
        .skip(index)
        .take_while(|note| stopped(note))
        .count();
    index - before..index + after
}
