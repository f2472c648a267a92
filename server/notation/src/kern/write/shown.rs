//! Which accidentals must stand at their notes under a signature: `X` or `n` after those that the page is to show.

use std::collections::HashMap;

use score::{Courtesy, Span};
use theory::{Alteration, Key, Letter};

use super::find::{Named, Written, notes_at};
use super::{Source, replace};
use crate::edit::{CannotWrite, TextEdit};

type Lines = HashMap<(Letter, i8), Alteration>;

/// What a change of signature is to do to the signs at notes.
pub(super) struct Change<F: Fn(&Written<'_>) -> Key> {
    /// The signature that a note is read in afterwards.
    pub(super) key: F,
    pub(super) courtesy: Courtesy,
    /// Whether signs go that were needed before and are no longer.
    pub(super) drop_implied: bool,
}

/// The edits that add and take out signs. The pitches themselves are in the data and stay.
pub(super) fn edits<F: Fn(&Written<'_>) -> Key>(
    text: &str,
    notes: &[Written<'_>],
    change: &Change<F>,
) -> Vec<TextEdit> {
    let mut edits = Vec::new();
    let (mut was, mut is, mut last) = (Lines::new(), Lines::new(), Lines::new());
    let mut bar = None;
    for note in notes {
        if bar != Some(note.bar) {
            // A bar in between with nothing on the staff has nothing to remind of.
            let next = bar.is_none_or(|bar| bar + 1 == note.bar);
            last = std::mem::take(&mut is);
            if !next {
                last.clear();
            }
            was.clear();
            bar = Some(note.bar);
        }
        let pitch = note.note.written.0;
        let line = (pitch.letter, pitch.octave);
        let key = (change.key)(note);
        let sign = sign(text, note);
        let carried = note.note.tied_from && sign.is_none();
        let needs = |lines: &Lines, key: Key| {
            let stands = lines.get(&line).copied();
            stands.unwrap_or(key.alteration(pitch.letter)) != pitch.alteration
        };
        let needed_before = needs(&was, note.key);
        let needed = needs(&is, key);
        let other = |before: &Alteration| *before != pitch.alteration;
        let of_bar_before = || last.get(&line).is_some_and(other);
        let of_other_octave = || {
            let mut met = is.iter();
            met.any(|((letter, _), before)| *letter == pitch.letter && other(before))
        };
        let reminds = !is.contains_key(&line)
            && (change.courtesy.of_bar_before() && of_bar_before()
                || change.courtesy.of_other_octave() && of_other_octave());
        if carried {
            continue;
        }
        match sign {
            None if needed || (reminds && !change.drop_implied) => {
                edits.push(added(note));
                is.insert(line, pitch.alteration);
            }
            Some(span) if change.drop_implied && needed_before && !needed && !reminds => {
                edits.push(replace(span, ""));
            }
            Some(_) => {
                is.insert(line, pitch.alteration);
            }
            None => {}
        }
        if sign.is_some() || needed_before {
            was.insert(line, pitch.alteration);
        }
    }
    edits
}

/// The sign of a note is printed whether or not the page needs it.
pub(super) fn show(source: &Source<'_>, note: Span) -> Result<Vec<TextEdit>, CannotWrite> {
    let sheet = source.sheet_at(note.start)?;
    let mut edits = Vec::new();
    for Named { notes, meant } in notes_at(&sheet, source.text, &[note])? {
        let unsigned = meant.iter().map(|&place| &notes[place]);
        edits.extend(
            unsigned
                .filter(|note| sign(source.text, note).is_none())
                .map(added),
        );
    }
    Ok(edits)
}

/// The edit that says that a note's accidental is printed.
fn added(note: &Written<'_>) -> TextEdit {
    let sign = if note.data.alteration == Alteration::NATURAL {
        "n"
    } else {
        "X"
    };
    let at = note.pitch_span.end;
    replace(Span::new(at, at), sign)
}

/// Where the sign stands that says that a note's accidental is printed.
fn sign(text: &str, note: &Written<'_>) -> Option<Span> {
    let end = note.pitch_span.end;
    if text[end..].starts_with('X') {
        return Some(Span::new(end, end + 1));
    }
    text[note.pitch_span.range()]
        .ends_with('n')
        .then(|| Span::new(end - 1, end))
}
