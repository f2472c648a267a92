//! Moving notes by octaves or to another pitch, with all they are tied to.

use score::Span;
use theory::{Pitch, WrittenPitch};

use super::page::Source;
use super::{accidentals, cannot, notes};
use crate::edit::{CannotWrite, TextEdit};
use crate::musicxml::read::pitch::sign_word;
use crate::writing::accidentals::Change;
use crate::writing::notes::{moved, moved_on_page};

/// The octaves that the format has (MusicXML 4.0, `octave`).
const OCTAVES: std::ops::RangeInclusive<i8> = 0..=9;

/// Octaves are rewritten, and accidentals where notes came to rely on others.
pub(super) fn by_octaves(
    source: &Source<'_>,
    spans: &[Span],
    octaves: i8,
) -> Result<Vec<TextEdit>, CannotWrite> {
    if octaves == 0 {
        return Ok(Vec::new());
    }
    repitched(source, spans, |pitch| Pitch {
        octave: pitch.octave.saturating_add(octaves),
        ..pitch
    })
}

/// The note gets another pitch.
pub(super) fn to(
    source: &Source<'_>,
    note: Span,
    from: WrittenPitch,
    to: WrittenPitch,
) -> Result<Vec<TextEdit>, CannotWrite> {
    repitched(source, &[note], |old| moved_on_page(old, from, to))
}

/// The note's accidental is shown, as a reminder if the page says it already.
pub(super) fn show(
    source: &Source<'_>,
    note: Span,
    brackets: bool,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let mut edits = Vec::new();
    for (part, named) in notes::named(source, &[note])? {
        let mut change = Change::nothing();
        change.brackets = brackets;
        change.signed = named.iter().map(|note| note.pitch_span).collect();
        edits.extend(accidentals::edits(source, part, &change)?);
    }
    Ok(edits)
}

fn repitched(
    source: &Source<'_>,
    spans: &[Span],
    to: impl Fn(Pitch) -> Pitch,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let mut edits = Vec::new();
    for (part, named) in notes::named(source, spans)? {
        let mut change = Change::nothing();
        change.pitches = moved(|| notes::of_part(part), &named, &to);
        let within = |pitch: &Pitch| OCTAVES.contains(&pitch.octave);
        if !change.pitches.values().all(within) {
            return cannot("that is outside the octaves that can be written");
        }
        let signed = |pitch: &Pitch| sign_word(pitch.alteration.0).is_some();
        if !change.pitches.values().all(signed) {
            return cannot("there is no accidental for more than three sharps or flats");
        }
        edits.extend(accidentals::edits(source, part, &change)?);
    }
    Ok(edits)
}
