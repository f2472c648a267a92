//! Which accidentals must stand once keys or pitches change, so that every note still reads as it is meant.
//!
//! The standard lets a file choose how far an accidental reaches (`propagate-accidentals`, ABC 2.1, 11.3), and readers
//! differ. A note gets an accidental when the reading in force would miss it, and also when another common reading got
//! it right in the old text and would not in the new: no reader is worse off than before.

use std::collections::HashMap;

use score::{Courtesy, Span};
use theory::{Alteration, Key, Letter, Pitch};

use super::find::{FoundPart, Instruction, Step, Written};
use super::pitch::{self, Spelling};
use super::{Source, cannot, replace};
use crate::edit::{CannotWrite, TextEdit};

/// How far an accidental reaches within its bar.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Reach {
    /// Its own note only.
    Note,
    /// Its line or space.
    Octave,
    /// Its letter in every octave.
    Pitch,
}

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

/// The accidentals a reader has met in a bar, under one reach.
struct Reader {
    reach: Reach,
    met: HashMap<(u8, Letter, Option<i8>), i8>,
}

impl Reader {
    fn new(reach: Reach) -> Self {
        Self {
            reach,
            met: HashMap::new(),
        }
    }

    /// Where an accidental at a pitch is remembered; `None` when it is not.
    const fn place(&self, layer: u8, pitch: Pitch) -> Option<(u8, Letter, Option<i8>)> {
        match self.reach {
            Reach::Note => None,
            Reach::Octave => Some((layer, pitch.letter, Some(pitch.octave))),
            Reach::Pitch => Some((layer, pitch.letter, None)),
        }
    }

    /// The alteration read at a note without an accidental.
    fn reads(&self, layer: u8, pitch: Pitch, key: &Key) -> i8 {
        self.place(layer, pitch)
            .and_then(|place| self.met.get(&place).copied())
            .unwrap_or_else(|| key.alteration(pitch.letter).0)
    }

    fn meets(&mut self, layer: u8, pitch: Pitch, accidental: Option<i8>) {
        if let (Some(accidental), Some(place)) = (accidental, self.place(layer, pitch)) {
            self.met.insert(place, accidental);
        }
    }
}

/// What is to be otherwise.
pub(super) struct Change<'a> {
    /// The new key signatures by where the old ones stand.
    pub keys: HashMap<Span, Key>,
    /// The new written pitches by where the old ones stand.
    pub pitches: HashMap<Span, Pitch>,
    /// Where the pitches stand that are to show an accidental whether or not one is needed.
    pub signed: Vec<Span>,
    /// Whether accidentals that a new key implies are taken out.
    pub drop_implied: bool,
    /// Which courtesy accidentals are added.
    pub courtesy: Courtesy,
    /// The part.
    pub part: FoundPart<'a>,
}

impl<'a> Change<'a> {
    /// A change of nothing yet.
    pub(super) fn of(part: FoundPart<'a>) -> Self {
        Self {
            keys: HashMap::new(),
            pitches: HashMap::new(),
            signed: Vec::new(),
            drop_implied: false,
            courtesy: Courtesy::Never,
            part,
        }
    }

    /// The edits at the notes of the part; those at the keys are not among them.
    pub(super) fn edits(&self, source: &Source<'a>) -> Result<Vec<TextEdit>, CannotWrite> {
        let reaches = Reaches::of(source, self.part);
        let mut walk = Walk::new(self);
        let mut edits = Vec::new();
        for step in self.part.steps() {
            match step {
                Step::Key(span, key) => {
                    walk.old_key = key;
                    walk.new_key = self.keys.get(&span).copied().unwrap_or(key);
                }
                Step::Note(written) => {
                    walk.obey(reaches.at(written.span.start));
                    edits.extend(walk.note(source, &written)?);
                }
                Step::Rest(layer) => walk.opening.retain(|tie| tie.layer != layer),
            }
        }
        Ok(edits)
    }
}

/// The walk through a part with the old text in one hand and the new in the other.
struct Walk<'a> {
    change: &'a Change<'a>,
    old_key: Key,
    new_key: Key,
    bar: usize,
    /// Readers of the old and the new text: first the two who do as the file says, then pairs who may not.
    readers: [(Reader, Reader); 3],
    /// The last alteration at each line or space, in this bar and in the one before.
    altered: HashMap<(Letter, i8), i8>,
    altered_before: HashMap<(Letter, i8), i8>,
    /// The ties that end at the note or chord being read, and those that it opens.
    ending: Vec<Tie>,
    opening: Vec<Tie>,
}

impl<'a> Walk<'a> {
    fn new(change: &'a Change<'a>) -> Self {
        let start = change.part.start_key();
        let old_key = start.map_or(Key::NONE, |(_, key)| key);
        let new_key = start
            .and_then(|(span, _)| change.keys.get(&span).copied())
            .unwrap_or(old_key);
        Self {
            change,
            old_key,
            new_key,
            bar: 0,
            readers: [Reach::Pitch, Reach::Octave, Reach::Pitch]
                .map(|reach| (Reader::new(reach), Reader::new(reach))),
            altered: HashMap::new(),
            altered_before: HashMap::new(),
            ending: Vec::new(),
            opening: Vec::new(),
        }
    }

    /// Has the file say how far accidentals reach from here on.
    const fn obey(&mut self, reach: Reach) {
        let (old, new) = &mut self.readers[0];
        old.reach = reach;
        new.reach = reach;
    }

    fn enter(&mut self, bar: usize) {
        if bar == self.bar {
            return;
        }
        let last = std::mem::take(&mut self.altered);
        self.altered_before = if bar == self.bar + 1 {
            last
        } else {
            HashMap::new()
        };
        self.bar = bar;
        for (old, new) in &mut self.readers {
            old.met.clear();
            new.met.clear();
        }
    }

    fn note(
        &mut self,
        source: &Source<'_>,
        written: &Written<'_>,
    ) -> Result<Option<TextEdit>, CannotWrite> {
        self.enter(written.bar);
        let old = written.note.written.0;
        let new = self
            .change
            .pitches
            .get(&written.pitch_span)
            .copied()
            .unwrap_or(old);
        let text = source.text.get(written.pitch_span.range());
        let spelled = text
            .and_then(pitch::read)
            .filter(|spelled| spelled.letter == old.letter);
        let shown = spelled.and_then(|spelled| spelled.accidental);
        let layer = written.note.layer;
        if !written.note.chord && !written.note.grace {
            self.ending.retain(|tie| tie.layer != layer);
            self.ending
                .extend(self.opening.extract_if(.., |tie| tie.layer == layer));
        }
        let show = self.accidental(written, old, new, shown);
        if written.note.tied_to {
            self.opening.push(Tie { layer, old, new });
        }
        for (before, after) in &mut self.readers {
            before.meets(layer, old, shown);
            after.meets(layer, new, show);
        }
        self.altered
            .insert((new.letter, new.octave), new.alteration.0);
        if show == shown && new == old {
            return Ok(None);
        }
        let Some(spelled) = spelled else {
            return cannot("a note that must change is not spelled out in the text (a macro?)");
        };
        edit(written.pitch_span, &spelled, old, new, show).map(Some)
    }

    /// The accidental to show at a note, given the one it shows.
    fn accidental(
        &self,
        written: &Written<'_>,
        old: Pitch,
        new: Pitch,
        shown: Option<i8>,
    ) -> Option<i8> {
        let Alteration(wanted) = new.alteration;
        if self.change.signed.contains(&written.pitch_span) {
            return Some(wanted);
        }
        let layer = written.note.layer;
        // Grace notes come before the note that ends a tie, so they read it as still open.
        let ties = if written.note.grace {
            &self.opening
        } else {
            &self.ending
        };
        let held = |pitch: Pitch, of: fn(&Tie) -> Pitch| {
            ties.iter()
                .filter(|tie| tie.layer == layer)
                .map(of)
                .find(|tie| (tie.letter, tie.octave) == (pitch.letter, pitch.octave))
                .map(|tie| tie.alteration.0)
        };
        let (old_held, new_held) = (held(old, |tie| tie.old), held(new, |tie| tie.new));
        let tied = new_held == Some(wanted);
        let right = |reader: &Reader, pitch: Pitch, key: &Key, held: Option<i8>| {
            held.unwrap_or_else(|| reader.reads(layer, pitch, key)) == pitch.alteration.0
        };
        let missed_by_any = self
            .readers
            .iter()
            .any(|(_, reader)| !right(reader, new, &self.new_key, new_held));
        let keep = match shown {
            None => false,
            Some(sign) if sign != wanted => false,
            Some(sign) => {
                let implied = self.new_key.alteration(new.letter).0 == sign
                    && self.old_key.alteration(old.letter).0 != sign;
                !(self.change.drop_implied && implied) || missed_by_any
            }
        };
        if keep {
            return shown;
        }
        let needed = self
            .readers
            .iter()
            .enumerate()
            .any(|(place, (before, after))| {
                let was_right = shown.is_some() || right(before, old, &self.old_key, old_held);
                (place == 0 || was_right) && !right(after, new, &self.new_key, new_held)
            });
        (needed || self.courtesy_due(new, tied)).then_some(wanted)
    }

    /// Whether the house wants an accidental that no reading needs.
    fn courtesy_due(&self, new: Pitch, tied: bool) -> bool {
        let place = (new.letter, new.octave);
        self.change.courtesy == Courtesy::NextBar
            && !tied
            && !self.altered.contains_key(&place)
            && self
                .altered_before
                .get(&place)
                .is_some_and(|before| *before != new.alteration.0)
    }
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
