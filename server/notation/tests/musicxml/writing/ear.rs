//! What is heard and read in an invented score, and how an intent is written into it.

use std::collections::HashMap;

use fastrand::Rng;
use notation::{Document, TextEdit};
use score::{AlterationFrom, EventKind, Intent, PartRef};
use theory::{Key, Letter, Quarters};

use crate::{At, doc, maker::Maker, parts};

const ROUNDS: u64 = 120;

pub(crate) fn scores() -> impl Iterator<Item = (Document, Rng)> {
    (0..ROUNDS).map(|seed| {
        let (text, rng) = Maker::score(seed);
        (doc(&text), rng)
    })
}

pub(crate) fn show(before: &Document, after: &Document) -> String {
    format!("{}\n-----\n{}", before.text(), after.text())
}

pub(crate) fn written(before: &Document, intent: &Intent) -> (Document, Vec<TextEdit>) {
    let edits = before
        .write(intent)
        .unwrap_or_else(|error| panic!("{intent:?}: {error}\n{}", before.text()));
    let after = before.with_edits(&edits).unwrap();
    let slips = |doc: &Document| doc.score().pieces[0].piece.unreadable.len();
    assert_eq!(slips(before), slips(&after), "{}", show(before, &after));
    (after, edits)
}

/// Everything in the text that is no `<accidental>`, `<alter>`, step or octave must stay.
pub(crate) fn only_pitches(before: &Document, after: &Document) {
    let rest = |doc: &Document| -> String {
        let mut text = doc.text();
        for name in ["accidental", "alter"] {
            while let Some(start) = text.find(&format!("<{name}>")) {
                let close = format!("</{name}>");
                let end = start + text[start..].find(&close).unwrap() + close.len();
                text.replace_range(text[..start].trim_end().len()..end, "");
            }
        }
        for name in ["step", "octave"] {
            let mut at = 0;
            while let Some(start) = text[at..].find(&format!("<{name}>")) {
                let start = at + start + name.len() + 2;
                let end = start + text[start..].find('<').unwrap();
                text.replace_range(start..end, "");
                at = start;
            }
        }
        text
    };
    assert_eq!(rest(before), rest(after));
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Heard {
    pub(crate) part: usize,
    pub(crate) bar: usize,
    pub(crate) offset: Quarters,
    pub(crate) length: Quarters,
    pub(crate) midi: i32,
}

pub(crate) fn heard(doc: &Document) -> Vec<Heard> {
    parts(doc)
        .iter()
        .enumerate()
        .flat_map(|(part, read)| {
            read.events()
                .filter_map(move |placed| match &placed.event.kind {
                    EventKind::Note(note) => Some(Heard {
                        part,
                        bar: placed.bar,
                        offset: placed.event.offset,
                        length: note.length,
                        midi: note.written.midi(),
                    }),
                    _ => None,
                })
        })
        .collect()
}

/// Whether each note reads right by key and accidentals alone, in the order of the text; `shared` says that one line's
/// accidentals speak to the other.
pub(crate) fn reads_right(doc: &Document, shared: bool) -> Vec<bool> {
    let mut right = Vec::new();
    for part in parts(doc) {
        let mut key = Key::NONE;
        let mut held = Vec::new();
        for bar in &part.bars {
            let mut met: HashMap<(u8, Letter, i8), i8> = HashMap::new();
            for run in &bar.runs {
                let mut events: Vec<(usize, &score::Event)> =
                    run.body.events.iter().enumerate().collect();
                events.sort_by_key(|(_, event)| event.offset);
                let mut found = Vec::new();
                for (place, event) in events {
                    match &event.kind {
                        EventKind::Key(new) => key = *new,
                        EventKind::Note(note) => {
                            let pitch = note.written.0;
                            let layer = if shared { 0 } else { note.layer };
                            let line = (layer, pitch.letter, pitch.octave);
                            let shown = note.alteration_from == AlterationFrom::Accidental;
                            if shown {
                                met.insert(line, pitch.alteration.0);
                            }
                            let tied = note.tied_from && held.contains(&pitch);
                            let reads = met
                                .get(&line)
                                .copied()
                                .unwrap_or_else(|| key.alteration(pitch.letter).0);
                            found.push((place, tied || reads == pitch.alteration.0));
                            if note.tied_to {
                                held.push(pitch);
                            }
                        }
                        _ => {}
                    }
                }
                found.sort_by_key(|(place, _)| *place);
                right.extend(found.into_iter().map(|(_, right)| right));
            }
        }
    }
    right
}

/// No reader finds a note wrong that he found right before.
pub(crate) fn no_reader_is_worse_off(before: &Document, after: &Document) {
    for shared in [false, true] {
        let (old, new) = (reads_right(before, shared), reads_right(after, shared));
        for (place, (old, new)) in old.iter().zip(&new).enumerate() {
            assert!(!old || *new, "note {place} {}", show(before, after));
        }
    }
}

pub(crate) fn any_part(doc: &Document, rng: &mut Rng) -> PartRef {
    PartRef {
        piece: 0,
        part: rng.usize(0..parts(doc).len()),
    }
}

/// The places of all notes that one is tied to, its own included.
pub(crate) fn chain(all: &[At], place: usize) -> Vec<usize> {
    let follows = |a: &At, b: &At| {
        let (from, to) = (&a.note, &b.note);
        a.part == b.part && from.tied_to && to.tied_from && from.written == to.written
    };
    let mut chain = vec![place];
    let mut at = place;
    while let Some(next) = (at + 1..all.len()).find(|&next| follows(&all[at], &all[next])) {
        chain.push(next);
        at = next;
    }
    at = place;
    while let Some(last) = (0..at).rev().find(|&last| follows(&all[last], &all[at])) {
        chain.push(last);
        at = last;
    }
    chain
}
