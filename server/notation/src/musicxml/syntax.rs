//! MusicXML's layout together with what the last reading knew.

use ropey::Rope;
use score::{Score, Span};
use tree_sitter::InputEdit;

use super::read::Memory;
use super::write;

/// The syntax of a MusicXML text.
#[derive(Debug, Clone)]
pub(crate) struct Syntax {
    memory: Memory,
}

impl Syntax {
    pub(crate) fn new(rope: &Rope) -> (Self, Score) {
        let (memory, score) = Memory::of(rope);
        (Self { memory }, score)
    }

    pub(crate) fn edited(&mut self, edit: &InputEdit) {
        self.memory.edited(
            Span::new(edit.start_byte, edit.old_end_byte),
            edit.new_end_byte - edit.start_byte,
        );
    }

    pub(crate) fn reread(&mut self, rope: &Rope) -> Score {
        self.memory.reread(rope)
    }

    pub(crate) fn source<'a>(&'a self, text: &'a str, score: &'a Score) -> write::Source<'a> {
        write::Source::new(text, self.memory.outline(), score)
    }
}
