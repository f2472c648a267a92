//! What words over a staff say, read once however often a part has them.

use std::collections::HashMap;
use std::rc::Rc;
use std::sync::Arc;

use horn::{Address, Instruction, TakenUp, Term, asks_multiphonics, read_address, read_words};

/// Words over a staff, read.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Words {
    /// The words themselves.
    pub(crate) text: Arc<str>,
    /// Whether one player is to sound several notes.
    pub(crate) multiphonics: bool,
    /// Whom they speak to; `None` where they name nobody.
    pub(crate) address: Option<Address>,
    /// The words of the trade among them.
    pub(crate) terms: Vec<Term>,
}

impl Words {
    fn new(text: &str) -> Self {
        Self {
            text: text.into(),
            multiphonics: asks_multiphonics(text),
            address: read_address(text),
            terms: read_words(text),
        }
    }

    /// Whether they ask for something.
    pub(crate) fn ask(&self, instruction: &Instruction) -> bool {
        self.terms
            .iter()
            .any(|term| term.instruction == *instruction)
    }

    /// Which instrument they have a player take up; a crook is a horn's.
    pub(crate) fn taken_up(&self) -> Option<TakenUp> {
        let mut terms = self.terms.iter();
        terms.find_map(|term| match term.instruction {
            Instruction::TakeUp(taken) => Some(taken),
            Instruction::Crook(_) => Some(TakenUp::Horn),
            _ => None,
        })
    }
}

/// The words of a part that have been read.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct KnownWords(HashMap<Arc<str>, Rc<Words>>);

impl KnownWords {
    /// What words say, whether or not they have been read.
    pub(crate) fn known(&self, text: &str) -> Rc<Words> {
        let known = self.0.get(text).map(Rc::clone);
        known.unwrap_or_else(|| Rc::new(Words::new(text)))
    }

    /// What words say, to be known from now on.
    pub(crate) fn read(&mut self, text: &str) -> Rc<Words> {
        let words = self.known(text);
        // Nothing new where they were known.
        self.0
            .entry(Arc::clone(&words.text))
            .or_insert_with(|| Rc::clone(&words));
        words
    }
}
