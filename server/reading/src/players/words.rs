//! What words say of who plays, read once however often a part has them.

use std::collections::HashMap;
use std::rc::Rc;

use horn::{Address, Instruction, TakenUp, Term, asks_multiphonics, read_address, read_words};

/// Words over a staff, as those read them who share it.
#[derive(Debug)]
pub(super) struct Words {
    /// Whether one player is to sound several notes.
    pub(super) multiphonics: bool,
    /// Whom they speak to; `None` where they name nobody.
    pub(super) address: Option<Address>,
    /// The words of the trade among them.
    terms: Vec<Term>,
}

impl Words {
    fn new(text: &str) -> Self {
        Self {
            multiphonics: asks_multiphonics(text),
            address: read_address(text),
            terms: read_words(text),
        }
    }

    /// Whether no word of the trade is among them.
    pub(super) const fn say_nothing(&self) -> bool {
        self.terms.is_empty()
    }

    /// Whether they ask for something.
    pub(super) fn ask(&self, instruction: &Instruction) -> bool {
        self.terms
            .iter()
            .any(|term| term.instruction == *instruction)
    }

    /// Which instrument they have a player take up; a crook is a horn's.
    pub(super) fn taken_up(&self) -> Option<TakenUp> {
        let mut terms = self.terms.iter();
        terms.find_map(|term| match term.instruction {
            Instruction::TakeUp(taken) => Some(taken),
            Instruction::Crook(_) => Some(TakenUp::Horn),
            _ => None,
        })
    }
}

/// The words of a part that have been read.
#[derive(Debug, Default)]
pub(super) struct KnownWords(HashMap<String, Rc<Words>>);

impl KnownWords {
    /// What words say.
    pub(super) fn read(&mut self, text: &str) -> Rc<Words> {
        if let Some(known) = self.0.get(text) {
            return Rc::clone(known);
        }
        let words = Rc::new(Words::new(text));
        self.0.insert(text.to_owned(), Rc::clone(&words));
        words
    }
}
