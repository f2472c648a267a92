//! The rules of reading, each shown on a few invented notes.

mod bars;
mod pitches;
mod places;
mod rhythms;
mod signs;
mod voices;

use std::sync::Arc;

use score::{EventKind, Note, Part, Piece};

use crate::{Document, Format};

/// The first piece of a text.
fn piece(text: &str) -> Arc<Piece> {
    let document = Document::from_text(Format::Abc, text);
    Arc::clone(&document.score().pieces.first().unwrap().piece)
}

/// The first part of a tune in 4/4 with quarter notes as the unit; `header` ends with the key field's words.
fn part_in(key: &str, music: &str) -> Part {
    let piece = piece(&format!("X:1\nM:4/4\nL:1/4\nK:{key}\n{music}\n"));
    assert_eq!(piece.unreadable, [], "{music}");
    piece.parts.first().unwrap().clone()
}

/// The same without a key signature.
fn part(music: &str) -> Part {
    part_in("none", music)
}

fn notes(part: &Part) -> impl Iterator<Item = &Note> {
    part.events().filter_map(|placed| match &placed.event.kind {
        EventKind::Note(note) => Some(note),
        _ => None,
    })
}

/// The written pitches, parted by spaces.
fn pitches(part: &Part) -> String {
    let names: Vec<String> = notes(part).map(|note| note.written.to_string()).collect();
    names.join(" ")
}

/// The lengths in quarter notes, parted by spaces.
fn lengths(part: &Part) -> String {
    let lengths: Vec<String> = notes(part).map(|note| note.length.to_string()).collect();
    lengths.join(" ")
}

/// Where each note begins in its bar, parted by spaces.
fn offsets(part: &Part) -> String {
    let offsets: Vec<String> = part
        .events()
        .filter(|placed| matches!(placed.event.kind, EventKind::Note(_)))
        .map(|placed| placed.event.offset.to_string())
        .collect();
    offsets.join(" ")
}

/// The numbers of the bars, parted by spaces.
fn numbers(part: &Part) -> String {
    let numbers: Vec<String> = part.bars.iter().map(|bar| bar.number.to_string()).collect();
    numbers.join(" ")
}
