//! Finding the notes that an intent names.

use score::{EventKind, Part, Span};

use super::cannot;
use super::page::Source;
use crate::edit::CannotWrite;
use crate::writing::notes::Written;

/// The notes of a part in the order of the text.
pub(super) fn of_part(part: &Part) -> Vec<Written<'_>> {
    part.events()
        .filter_map(|placed| Written::of(&placed, 0))
        .collect()
}

/// The part whose measure holds a byte.
pub(super) fn part_at<'a>(source: &Source<'a>, byte: usize) -> Option<&'a Part> {
    let chunks = &source.outline.chunks;
    let after = chunks.partition_point(|chunk| chunk.span.start <= byte);
    let chunk = chunks.get(after.checked_sub(1)?)?;
    source.parts().iter().find(|part| part.id == *chunk.part)
}

/// The rest that stands at a place: where its run begins, and its layer.
pub(super) fn rest_at(source: &Source<'_>, span: Span) -> Option<(usize, u8)> {
    let part = part_at(source, span.start)?;
    let bars = part.bars.iter().enumerate();
    bars.filter(|(_, bar)| bar.span().is_some_and(|bar| bar.touches(span.start)))
        .flat_map(|(index, bar)| bar.events(index))
        .find_map(|placed| match &placed.event.kind {
            EventKind::Rest(rest) if placed.span() == span => Some((placed.base, rest.layer)),
            _ => None,
        })
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
            .filter_map(|placed| Written::of(&placed, 0))
            .find(|written| written.span == *span || written.pitch_span == *span);
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
