//! The accidentals of a part under a change, in ABC's signs.
//!
//! The standard lets a file choose how far an accidental reaches (`propagate-accidentals`, ABC 2.1, 11.3), and readers
//! differ.

use score::Span;
use theory::Pitch;

use super::find::{FoundPart, Instruction, Step};
use super::pitch::{self, Spelling};
use super::{Source, cannot, replace};
use crate::edit::{CannotWrite, TextEdit};
use crate::writing::accidentals::{Change, Reach, Seen, Walk};
use crate::writing::notes::Written;

/// What a file says of the reach, for one part.
struct Reaches<'a> {
    said: Vec<(Instruction<'a>, Reach)>,
    voice: &'a str,
}

impl<'a> Reaches<'a> {
    fn of(source: &Source<'a>, part: FoundPart<'a>) -> Self {
        let said = source
            .instructions("propagate-accidentals")
            .into_iter()
            .filter_map(|said| {
                let reach = match said.value {
                    "not" => Reach::Note,
                    "octave" => Reach::Octave,
                    "pitch" => Reach::Pitch,
                    _ => return None,
                };
                Some((said, reach))
            })
            .collect();
        Self {
            said,
            voice: &part.part.id,
        }
    }

    /// The reach in force at a byte; the standard's own is the letter in every octave.
    fn at(&self, byte: usize) -> Reach {
        self.said
            .iter()
            .rfind(|(said, _)| said.holds(byte, self.voice))
            .map_or(Reach::Pitch, |(_, reach)| *reach)
    }
}

/// A note held into the next one of its line: its pitch in the old text and in the new.
#[derive(Clone, Copy)]
struct Tie {
    layer: u8,
    old: Pitch,
    new: Pitch,
}

/// The ties that end at the note or chord being read, and those that it opens.
#[derive(Default)]
struct Ties {
    ending: Vec<Tie>,
    opening: Vec<Tie>,
}

impl Ties {
    fn rest(&mut self, layer: u8) {
        self.opening.retain(|tie| tie.layer != layer);
    }

    /// The ties that a note may end.
    fn before(&mut self, written: &Written<'_>) -> &[Tie] {
        let note = written.note;
        // Grace notes come before the note that ends a tie, so they read it as still open.
        if note.grace {
            return &self.opening;
        }
        if !note.chord {
            self.ending.retain(|tie| tie.layer != note.layer);
            self.ending
                .extend(self.opening.extract_if(.., |tie| tie.layer == note.layer));
        }
        &self.ending
    }
}

/// The edits at the notes of the part; those at the keys are not among them.
pub(super) fn edits(
    source: &Source<'_>,
    part: FoundPart<'_>,
    change: &Change,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let reaches = Reaches::of(source, part);
    let mut walk = Walk::new(change, &[Reach::Pitch, Reach::Octave, Reach::Pitch]);
    if let Some((span, key)) = part.start_key() {
        walk.key(span, key);
    }
    let reached = change.reached(part.part, part.placed.base);
    if let Some((span, key)) = source.key_before(part, reached.from) {
        walk.key(span, key);
    }
    let mut ties = Ties::default();
    let mut edits = Vec::new();
    for step in part.steps_in(reached.from..reached.end) {
        match step {
            Step::Key(span, key) => walk.key(span, key),
            Step::Note(written) => {
                walk.obey(reaches.at(written.span.start));
                let edit = note(source, &mut walk, &mut ties, change, &written);
                // What stands before is only read for what it holds.
                if written.bar >= reached.first {
                    edits.extend(edit?);
                }
            }
            Step::Rest(layer) => ties.rest(layer),
        }
    }
    Ok(edits)
}

fn note(
    source: &Source<'_>,
    walk: &mut Walk<'_>,
    ties: &mut Ties,
    change: &Change,
    written: &Written<'_>,
) -> Result<Option<TextEdit>, CannotWrite> {
    walk.enter(written.bar);
    let layer = written.note.layer;
    let old = written.note.written.0;
    let new = change
        .pitches
        .get(&written.pitch_span)
        .copied()
        .unwrap_or(old);
    let text = source.text.get(written.pitch_span.range());
    let spelled = text
        .and_then(pitch::read)
        .filter(|spelled| spelled.letter == old.letter);
    let before = ties.before(written);
    let held = |pitch: Pitch, of: fn(&Tie) -> Pitch| {
        before
            .iter()
            .filter(|tie| tie.layer == layer)
            .map(of)
            .find(|tie| (tie.letter, tie.octave) == (pitch.letter, pitch.octave))
            .map(|tie| tie.alteration.0)
    };
    let seen = Seen {
        layer,
        staff: 1,
        old,
        new,
        stands: spelled.and_then(|spelled| spelled.accidental),
        held_old: held(old, |tie| tie.old),
        held_new: held(new, |tie| tie.new),
        stated: false,
        signed: change.signed.contains(&written.pitch_span),
    };
    if written.note.tied_to {
        ties.opening.push(Tie { layer, old, new });
    }
    let show = walk.note(&seen).sign;
    if show == seen.stands && new == old {
        return Ok(None);
    }
    let Some(spelled) = spelled else {
        return cannot("a note that must change is not spelled out in the text (a macro?)");
    };
    edit(written.pitch_span, &spelled, old, new, show).map(Some)
}

/// The edit that gives a note its new spelling.
fn edit(
    at: Span,
    spelled: &Spelling,
    old: Pitch,
    new: Pitch,
    show: Option<i8>,
) -> Result<TextEdit, CannotWrite> {
    let sign = match show {
        None => "",
        Some(alteration) => match pitch::sign(alteration) {
            Some(sign) => sign,
            None => return cannot("ABC has no accidental for more than a double sharp or flat"),
        },
    };
    if (new.letter, new.octave) == (old.letter, old.octave) {
        return Ok(replace(spelled.accidental_span(at.start), sign));
    }
    let moved = Spelling {
        accidental: show,
        letter: new.letter,
        octave: spelled.octave + i32::from(new.octave) - i32::from(old.octave),
        letter_at: 0,
    };
    match moved.text() {
        Some(text) => Ok(replace(at, text)),
        None => cannot("ABC has no accidental for more than a double sharp or flat"),
    }
}
