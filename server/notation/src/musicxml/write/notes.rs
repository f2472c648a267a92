//! Finding the notes that an intent names, and all that they are one sound with.

use score::{EventKind, Note, Part, Span};
use theory::Quarters;

use super::cannot;
use super::page::Source;
use crate::edit::CannotWrite;

/// A note of a part, in document bytes.
#[derive(Debug, Clone, Copy)]
pub(super) struct Written<'a> {
    pub(super) note: &'a Note,
    pub(super) span: Span,
    pub(super) pitch_span: Span,
    /// Where its measure begins.
    pub(super) measure: usize,
    /// Quarter notes from the start of the piece.
    pub(super) onset: Quarters,
}

/// The notes of a part in the order of the text.
pub(super) fn of_part(part: &Part) -> Vec<Written<'_>> {
    part.events()
        .filter_map(|placed| match &placed.event.kind {
            EventKind::Note(note) => Some(Written {
                note,
                span: placed.span(),
                pitch_span: note.pitch_span.shifted(placed.base),
                measure: placed.base,
                onset: placed.onset,
            }),
            _ => None,
        })
        .collect()
}

/// The part whose measure holds a byte.
pub(super) fn part_at<'a>(source: &Source<'a>, byte: usize) -> Option<&'a Part> {
    let chunks = &source.outline.chunks;
    let after = chunks.partition_point(|chunk| chunk.span.start <= byte);
    let chunk = chunks.get(after.checked_sub(1)?)?;
    source.parts().iter().find(|part| part.id == *chunk.part)
}

/// The notes that spans name, each span being a note's or its pitch's; grouped by part.
pub(super) fn named<'a>(
    source: &Source<'a>,
    spans: &[Span],
) -> Result<Vec<(&'a Part, Vec<Written<'a>>)>, CannotWrite> {
    let mut found: Vec<(&'a Part, Vec<Written<'a>>)> = Vec::new();
    for span in spans {
        let Some(part) = part_at(source, span.start) else {
            return cannot("there is no note at that place");
        };
        let bars = part.bars.iter().enumerate();
        let note = bars
            .filter(|(_, bar)| bar.span().is_some_and(|bar| bar.touches(span.start)))
            .flat_map(|(index, bar)| bar.events(index))
            .find_map(|placed| match &placed.event.kind {
                EventKind::Note(note) => {
                    let written = Written {
                        note,
                        span: placed.span(),
                        pitch_span: note.pitch_span.shifted(placed.base),
                        measure: placed.base,
                        onset: placed.onset,
                    };
                    (written.span == *span || written.pitch_span == *span).then_some(written)
                }
                _ => None,
            });
        let Some(note) = note else {
            return cannot("there is no note at that place");
        };
        match found.iter_mut().find(|(known, _)| known.id == part.id) {
            Some((_, notes)) => notes.push(note),
            None => found.push((part, vec![note])),
        }
    }
    Ok(found)
}

/// The places of all notes that a note is one sound with by ties, its own included.
pub(super) fn tied(all: &[Written<'_>], place: usize) -> Vec<usize> {
    let mut chain = vec![place];
    let mut at = place;
    while all[at].note.tied_to {
        let next = (at + 1..all.len()).find(|&next| follows(&all[at], &all[next]));
        let Some(next) = next else { break };
        chain.push(next);
        at = next;
    }
    at = place;
    while all[at].note.tied_from {
        let before = (0..at)
            .rev()
            .find(|&before| follows(&all[before], &all[at]));
        let Some(before) = before else { break };
        chain.push(before);
        at = before;
    }
    chain
}

/// Whether a note is held into another.
fn follows(before: &Written<'_>, after: &Written<'_>) -> bool {
    let (from, to) = (before.note, after.note);
    from.tied_to
        && to.tied_from
        && from.written == to.written
        && from.layer == to.layer
        && before.onset <= after.onset
}
