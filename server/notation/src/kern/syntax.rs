//! What the last reading of a Humdrum text knew, and its syntax tree, made when somebody asks for it.

use std::sync::{Arc, OnceLock};

use ropey::Rope;
use score::{Score, Span};
use tree_sitter::{InputEdit, Tree};

use super::{read, write};
use crate::parse::parse;

/// The syntax of a Humdrum text.
///
/// Reading needs no tree; editors do, for colours, folds and selection. It is shared between copies of the same text.
#[derive(Debug, Clone, Default)]
pub(crate) struct Syntax {
    tree: Arc<OnceLock<Tree>>,
    /// The last tree that was asked for, with the edits since.
    before: Option<Tree>,
    memory: read::Memory,
}

impl Syntax {
    pub(crate) fn new(rope: &Rope) -> (Self, Score) {
        let mut syntax = Self::default();
        let score = syntax.reread(rope);
        (syntax, score)
    }

    pub(crate) fn edited(&mut self, edit: &InputEdit) {
        if let Some(tree) = self.tree.get() {
            self.before = Some(tree.clone());
            self.tree = Arc::default();
        }
        if let Some(before) = &mut self.before {
            before.edit(edit);
        }
        self.memory.edited(
            Span::new(edit.start_byte, edit.old_end_byte),
            edit.new_end_byte - edit.start_byte,
        );
    }

    pub(crate) fn reread(&mut self, rope: &Rope) -> Score {
        read::read(&rope.to_string(), &mut self.memory)
    }

    pub(crate) fn tree(&self, rope: &Rope) -> &Tree {
        self.tree
            .get_or_init(|| parse(&grammar_kern::LANGUAGE.into(), rope, self.before.as_ref()))
    }

    pub(crate) fn source<'a>(&'a self, text: &'a str, score: &'a Score) -> write::Source<'a> {
        write::Source::new(text, score)
    }
}
