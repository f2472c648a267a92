//! ABC's syntax tree together with what the last reading knew.

use ropey::Rope;
use score::{Score, Span};
use tree_sitter::{InputEdit, Tree};

use super::{read, write};
use crate::parse::parse;

/// The syntax of an ABC text.
#[derive(Debug, Clone)]
pub(crate) struct Syntax {
    tree: Tree,
    memory: read::Memory,
}

impl Syntax {
    pub(crate) fn new(rope: &Rope) -> (Self, Score) {
        let mut syntax = Self {
            tree: parse(&grammar_abc::LANGUAGE.into(), rope, None),
            memory: read::Memory::default(),
        };
        let score = syntax.read(rope);
        (syntax, score)
    }

    fn read(&mut self, rope: &Rope) -> Score {
        read::read(&rope.to_string(), &self.tree, &mut self.memory)
    }

    pub(crate) fn edited(&mut self, edit: &InputEdit) {
        self.tree.edit(edit);
        self.memory.edited(
            Span::new(edit.start_byte, edit.old_end_byte),
            edit.new_end_byte - edit.start_byte,
        );
    }

    pub(crate) fn reread(&mut self, rope: &Rope) -> Score {
        self.tree = parse(&grammar_abc::LANGUAGE.into(), rope, Some(&self.tree));
        self.read(rope)
    }

    pub(crate) const fn tree(&self) -> &Tree {
        &self.tree
    }

    pub(crate) fn source<'a>(&'a self, text: &'a str, score: &'a Score) -> write::Source<'a> {
        write::Source::new(text, &self.tree, score)
    }
}
