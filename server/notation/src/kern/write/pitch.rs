//! Other pitches in notes' places, with all that they are tied to.

use score::Span;
use theory::{Pitch, WrittenPitch};

use super::super::token;
use super::find::{Named, Written, notes_at};
use super::{Source, cannot, replace};
use crate::edit::{CannotWrite, TextEdit};
use crate::writing::notes::{moved_on_page, tied};

/// The octaves in which letters can still be counted by eye; beyond is a slip.
const OCTAVES: std::ops::RangeInclusive<i8> = 0..=8;

/// Moves notes by whole octaves.
pub(super) fn octaves(
    source: &Source<'_>,
    notes: &[Span],
    octaves: i8,
) -> Result<Vec<TextEdit>, CannotWrite> {
    if octaves == 0 {
        return Ok(Vec::new());
    }
    repitched(source, notes, |pitch| Pitch {
        octave: pitch.octave.saturating_add(octaves),
        ..pitch
    })
}

/// Writes another pitch in a note's place.
pub(super) fn note(
    source: &Source<'_>,
    note: Span,
    from: WrittenPitch,
    to: WrittenPitch,
) -> Result<Vec<TextEdit>, CannotWrite> {
    repitched(source, &[note], |old| moved_on_page(old, from, to))
}

fn repitched(
    source: &Source<'_>,
    spans: &[Span],
    to: impl Fn(Pitch) -> Pitch,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let Some(first) = spans.first() else {
        return Ok(Vec::new());
    };
    let sheet = source.sheet_at(first.start)?;
    let mut edits = Vec::new();
    for Named { notes, meant } in notes_at(&sheet, source.text, spans)? {
        let mut moved = Vec::new();
        for place in meant {
            let pitch = to(notes[place].note.written.0);
            for at in tied(&notes, place, |written| (written.note, written.onset)) {
                if !moved.contains(&at) {
                    moved.push(at);
                    edits.extend(edit(source.text, &notes[at], pitch)?);
                }
            }
        }
    }
    Ok(edits)
}

/// The letters and accidental of a note for another written pitch, the sign shown or not as before.
fn edit(text: &str, note: &Written<'_>, to: Pitch) -> Result<Option<TextEdit>, CannotWrite> {
    let data = to.transposed(-note.up());
    if !OCTAVES.contains(&data.octave) {
        return cannot("that is far outside the range of any instrument");
    }
    if data.alteration.0.abs() > 2 {
        return cannot("it would need more than a double sharp or flat in the data");
    }
    let old = &text[note.pitch_span.range()];
    let marked = text[note.pitch_span.end..].starts_with('X');
    let shown = old.ends_with('n') || (marked && note.data.alteration.0 != 0);
    let mut span = note.pitch_span;
    let mut new = token::written(data);
    if shown {
        // `n` shows a natural, `X` any other sign.
        span.end += usize::from(marked);
        new.push(if data.alteration.0 == 0 { 'n' } else { 'X' });
    }
    Ok((text[span.range()] != new).then(|| replace(span, new)))
}
