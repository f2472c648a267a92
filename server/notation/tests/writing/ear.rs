//! What a document sounds like, and what edits did to it.

use fastrand::Rng;
use notation::{Document, Format, TextEdit};
use score::{EventKind, Intent, Note, Span};
use theory::{Key, Quarters};

use crate::maker::*;

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Heard {
    pub(crate) part: String,
    pub(crate) bar: u32,
    pub(crate) onset: Quarters,
    pub(crate) midi: i32,
    pub(crate) length: Quarters,
}

pub(crate) struct At {
    pub(crate) part: usize,
    pub(crate) span: Span,
    pub(crate) pitch_span: Span,
    pub(crate) note: Note,
}

pub(crate) fn doc(text: &str) -> Document {
    Document::from_text(Format::Abc, text)
}

pub(crate) fn heard(doc: &Document) -> Vec<Heard> {
    let score = doc.score();
    score
        .pieces
        .iter()
        .flat_map(|placed| &placed.piece.parts)
        .flat_map(|part| {
            part.events()
                .filter_map(move |placed| match &placed.event.kind {
                    EventKind::Note(note) => Some(Heard {
                        part: part.id.clone(),
                        bar: part.bars[placed.bar].number,
                        onset: placed.onset,
                        midi: note.written.midi(),
                        length: note.length,
                    }),
                    _ => None,
                })
        })
        .collect()
}

/// The notes in the same order as [`heard`], with their places.
pub(crate) fn places(doc: &Document) -> Vec<At> {
    let placed = &doc.score().pieces[0];
    let mut found = Vec::new();
    for (part, read) in placed.piece.parts.iter().enumerate() {
        for event in read.events() {
            if let EventKind::Note(note) = &event.event.kind {
                let base = placed.base + event.base;
                found.push(At {
                    part,
                    span: event.event.span.shifted(base),
                    pitch_span: note.pitch_span.shifted(base),
                    note: note.clone(),
                });
            }
        }
    }
    found
}

/// The signature that each note and rest of a part stands in.
pub(crate) fn keys(doc: &Document, part: usize) -> Vec<Key> {
    let part = &doc.score().pieces[0].piece.parts[part];
    let mut key = part.key.unwrap().0;
    let mut keys = Vec::new();
    for placed in part.events() {
        match placed.event.kind {
            EventKind::Key(said) => key = said,
            EventKind::Note(_) | EventKind::Rest(_) => keys.push(key),
            _ => {}
        }
    }
    keys
}

/// The notes one sound with a note, by their places.
pub(crate) fn chain(all: &[At], of: usize) -> Vec<usize> {
    let one = |before: usize, after: usize| {
        let (from, to) = (&all[before], &all[after]);
        from.part == to.part
            && from.note.tied_to
            && to.note.tied_from
            && from.note.written == to.note.written
            && from.note.layer == to.note.layer
    };
    let mut found = vec![of];
    let mut at = of;
    while let Some(next) = (at + 1..all.len()).find(|&next| one(at, next)) {
        if !all[at].note.tied_to {
            break;
        }
        found.push(next);
        at = next;
    }
    at = of;
    while let Some(before) = (0..at).rev().find(|&before| one(before, at)) {
        found.push(before);
        at = before;
    }
    found
}

pub(crate) fn written(doc: &Document, intent: &Intent) -> (Document, Vec<TextEdit>) {
    let edits = doc
        .write(intent)
        .unwrap_or_else(|refused| panic!("{}: {intent:?}\n{}", refused.why, doc.text()));
    (doc.with_edits(&edits).unwrap(), edits)
}

/// Every edit is an accidental at a note, a key, or (when pitches move) a note's pitch.
pub(crate) fn only_needed(before: &Document, edits: &[TextEdit], pitches: bool) {
    let notes = places(before);
    let text = before.text();
    for edit in edits {
        let old = &text[edit.span.range()];
        let at_note = notes.iter().any(|note| {
            note.pitch_span.start <= edit.span.start && edit.span.end <= note.pitch_span.end
        });
        let signs = |text: &str| text.chars().all(|sign| "^_=".contains(sign));
        let line = text[..edit.span.start]
            .rfind(['\n', '\r'])
            .map_or(0, |at| at + 1);
        let in_key = text[line..].starts_with("K:")
            || text[..edit.span.start]
                .rfind("[K:")
                .is_some_and(|open| !text[open..edit.span.start].contains(']'))
            || edit.text.starts_with("[K:");
        let fine =
            (at_note && (pitches || (signs(old) && signs(&edit.text)))) || (!pitches && in_key);
        assert!(fine, "{edit:?} over {old:?} in\n{text}");
    }
}

pub(crate) fn show(before: &Document, after: &Document) -> String {
    format!("--- before\n{}\n--- after\n{}", before.text(), after.text()).replace('\r', "\n")
}

pub(crate) fn modes() -> [Option<&'static str>; 4] {
    [None, Some("not"), Some("octave"), Some("pitch")]
}

pub(crate) fn tunes() -> impl Iterator<Item = (Document, Rng)> {
    (0..ROUNDS).map(|seed| {
        let mut maker = Maker::new(seed);
        let mode = modes()[maker.rng.usize(0..4)];
        let text = maker.tune(mode);
        (doc(&text), maker.rng)
    })
}

/// How each note is heard by a reader who lets accidentals reach otherwise than the file says.
pub(crate) fn heard_under(doc_text: &str, mode: &str, other: &str) -> Vec<i32> {
    let text = doc_text.replace(
        &format!("propagate-accidentals {mode}"),
        &format!("propagate-accidentals {other}"),
    );
    heard(&doc(&text)).iter().map(|heard| heard.midi).collect()
}
