//! What a score sounds like, and what edits did to it.

use fastrand::Rng;
use notation::{Document, Format, TextEdit};
use score::{EventKind, Intent, Note, Part, Span};
use theory::{Key, Quarters};

use crate::maker::{Maker, ROUNDS};

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Heard {
    pub(crate) part: usize,
    pub(crate) bar: u32,
    pub(crate) onset: Quarters,
    pub(crate) written: i32,
    pub(crate) sounding: i32,
    pub(crate) length: Quarters,
}

pub(crate) struct At {
    pub(crate) part: usize,
    pub(crate) span: Span,
    pub(crate) note: Note,
}

pub(crate) fn doc(text: &str) -> Document {
    Document::from_text(Format::Kern, text)
}

pub(crate) fn scores() -> impl Iterator<Item = (Document, Rng)> {
    (0..ROUNDS).map(|seed| {
        let mut maker = Maker::new(seed);
        let before = doc(&maker.score());
        let slips = &before.score().pieces[0].piece.unreadable;
        assert!(slips.is_empty(), "{slips:?}\n{}", before.text());
        (before, maker.rng)
    })
}

fn parts(doc: &Document) -> &[Part] {
    &doc.score().pieces[0].piece.parts
}

pub(crate) fn heard(doc: &Document) -> Vec<Heard> {
    let mut heard = Vec::new();
    for (index, part) in parts(doc).iter().enumerate() {
        for placed in part.events() {
            if let EventKind::Note(note) = &placed.event.kind {
                heard.push(Heard {
                    part: index,
                    bar: part.bars[placed.bar].number,
                    onset: placed.onset,
                    written: note.written.midi(),
                    sounding: note.sounding.unwrap().midi(),
                    length: note.length,
                });
            }
        }
    }
    heard
}

/// The notes in the same order as [`heard`], with their places.
pub(crate) fn places(doc: &Document) -> Vec<At> {
    let base = doc.score().pieces[0].base;
    let mut found = Vec::new();
    for (index, part) in parts(doc).iter().enumerate() {
        for placed in part.events() {
            if let EventKind::Note(note) = &placed.event.kind {
                found.push(At {
                    part: index,
                    span: placed.span().shifted(base),
                    note: note.clone(),
                });
            }
        }
    }
    found
}

/// The signature on the page that each note of a part stands in.
pub(crate) fn keys(doc: &Document, part: usize) -> Vec<Key> {
    let part = &parts(doc)[part];
    let mut key = part.key.map_or(Key::NONE, |(key, _)| key);
    let mut keys = Vec::new();
    for placed in part.events() {
        match placed.event.kind {
            EventKind::Key(said) => key = said,
            EventKind::Note(_) => keys.push(key),
            _ => {}
        }
    }
    keys
}

pub(crate) fn written(before: &Document, intent: &Intent) -> (Document, Vec<TextEdit>) {
    let edits = before
        .write(intent)
        .unwrap_or_else(|refused| panic!("{}: {intent:?}\n{}", refused.why, before.text()));
    let after = before.with_edits(&edits).unwrap();
    let slips = &after.score().pieces[0].piece.unreadable;
    assert!(slips.is_empty(), "{slips:?}\n{}", show(before, &after));
    assert_eq!(
        before.text().contains('\r'),
        after.text().contains('\r'),
        "line ends stay"
    );
    assert!(!after.text().replace("\r\n", "").contains('\r'));
    (after, edits)
}

pub(crate) fn show(before: &Document, after: &Document) -> String {
    format!("--- before\n{}\n--- after\n{}", before.text(), after.text()).replace('\r', "")
}
