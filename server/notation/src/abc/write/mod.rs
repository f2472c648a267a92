//! The writing half of ABC: each intent in a file of its own, all of them as the fewest edits that say it.

mod accidentals;
mod cue;
mod drop_key;
#[cfg(test)]
mod edges;
mod find;
mod ignore;
mod key;
mod lines;
mod marks;
mod move_note;
mod name;
mod octaves;
mod pitch;
mod properties;
mod rewrite;
mod set_key;
mod show;
mod strings;
mod transposition;

pub use pitch::{read_in_abc, spell_in_abc};

use std::cell::RefCell;
use std::collections::HashMap;

use score::{Intent, Score, Span};
use theory::Key;
use tree_sitter::Tree;

use crate::edit::{CannotWrite, TextEdit};
use crate::writing::{cannot, ignored, in_order, insert, replace};

/// What the writers look at: a document's text, its tree and what was read from them.
#[derive(Debug)]
pub(crate) struct Source<'a> {
    text: &'a str,
    tree: &'a Tree,
    score: &'a Score,
    keys: RefCell<KnownKeys>,
}

/// The key signatures in the music of parts that were asked for, by the parts' addresses: the bar of each, where it
/// stands, and what it says.
type KnownKeys = HashMap<usize, Vec<(usize, Span, Key)>>;

impl<'a> Source<'a> {
    pub(crate) fn new(text: &'a str, tree: &'a Tree, score: &'a Score) -> Self {
        Self {
            text,
            tree,
            score,
            keys: RefCell::default(),
        }
    }
}

/// The edits, in document bytes, sorted and apart, that make ABC text say an intent.
///
/// All that the intent does not touch stays byte for byte. No edits means that the text says it already.
///
/// # Errors
///
/// `CannotWrite` when the thing named is not there, or when ABC cannot say the change without touching more.
pub(crate) fn write(source: &Source<'_>, intent: &Intent) -> Result<Vec<TextEdit>, CannotWrite> {
    let edits = match intent {
        Intent::DropKeySignatures {
            parts, courtesy, ..
        } => drop_key::write(source, parts, *courtesy),
        Intent::SetKeySignature { part, key } => set_key::write(source, *part, *key),
        Intent::RewritePart { part, ways } => rewrite::write(source, *part, ways),
        Intent::MoveOctaves { notes, octaves } => octaves::write(source, notes, *octaves),
        Intent::MoveNote { note, from, to } => move_note::write(source, *note, *from, *to),
        Intent::ShowAccidental { note, .. } => show::write(source, *note),
        Intent::AddMark { note, mark } => marks::add(source, *note, mark),
        Intent::WriteCue { part, cue } => cue::write(source, *part, cue),
        Intent::ReplaceMark { mark, with } => marks::replace(source, *mark, with),
        Intent::RemoveMark { mark } => marks::remove(source, *mark),
        Intent::SetTransposition {
            part,
            transposition,
        } => transposition::write(source, *part, *transposition),
        Intent::SetHorn {
            part,
            name,
            transposition,
        } => transposition::write(source, *part, *transposition).and_then(|mut edits| {
            edits.extend(name::write(source, *part, name)?);
            Ok(edits)
        }),
        Intent::DropLaterTranspositions { part } => transposition::drop_later(source, *part),
        Intent::SayOfPart { at, words, .. } => name::say(source, *at, words),
        Intent::NamePart { part, name } => name::write(source, *part, name),
        Intent::IgnoreHere { at, rule } => ignore::here(source, *at, rule),
        Intent::IgnoreInFile { rule } => ignore::in_file(source, rule),
        Intent::DropIgnored { at, rules } => ignore::without(source, *at, rules),
        Intent::RenameIgnored { at, rule } => ignored::rename(source.score, *at, rule),
    }?;
    Ok(in_order(edits))
}
