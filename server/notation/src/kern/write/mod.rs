//! The writing half of Humdrum: each intent in a file of its own, as edits that touch no other spine.

mod find;
mod ignore;
mod key;
mod marks;
mod name;
mod pitch;
mod record;
mod shown;
mod transposition;

use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;

use score::{Intent, Score};

use self::find::Sheet;
use crate::edit::{CannotWrite, TextEdit};
use crate::writing::{cannot, ignored, replace};

/// What the writers look at: a document's text and what was read from it.
#[derive(Debug)]
pub(crate) struct Source<'a> {
    text: &'a str,
    score: &'a Score,
    /// The pieces that were asked for, with their records.
    sheets: RefCell<HashMap<usize, Rc<Sheet<'a>>>>,
}

impl<'a> Source<'a> {
    pub(crate) fn new(text: &'a str, score: &'a Score) -> Self {
        Self {
            text,
            score,
            sheets: RefCell::default(),
        }
    }
}

/// The edits, in document bytes, sorted and apart, that make Humdrum text say an intent.
///
/// No edits means that the text says it already.
///
/// # Errors
///
/// `CannotWrite` when the thing named is not there, or when a spine cannot say the change.
pub(crate) fn write(source: &Source<'_>, intent: &Intent) -> Result<Vec<TextEdit>, CannotWrite> {
    let mut edits = match intent {
        Intent::DropKeySignatures {
            parts, courtesy, ..
        } => key::drop(source, parts, *courtesy),
        Intent::SetKeySignature { part, key } => key::set(source, *part, key),
        Intent::RewritePart { part, ways } => key::moved(source, *part, ways),
        Intent::MoveOctaves { notes, octaves } => pitch::octaves(source, notes, *octaves),
        Intent::MoveNote { note, from, to } => pitch::note(source, *note, *from, *to),
        Intent::ShowAccidental { note, .. } => shown::show(source, *note),
        Intent::AddMark { note, mark } => marks::add(source, *note, mark),
        Intent::WriteCue { .. } => cannot("in Humdrum a cue is words at a rest"),
        Intent::ReplaceMark { mark, with } => marks::replace_mark(source, *mark, with),
        Intent::RemoveMark { mark } => marks::remove(source, *mark),
        Intent::SetTransposition {
            part,
            transposition,
        } => transposition::write(source, *part, *transposition),
        Intent::SetHorn {
            part,
            name,
            transposition,
        } => {
            transposition::write_named(source, *part, *transposition, name).and_then(|mut edits| {
                edits.extend(name::write(source, *part, name)?);
                Ok(edits)
            })
        }
        Intent::DropLaterTranspositions { part } => transposition::drop_later(source, *part),
        Intent::SayOfPart { at, words, .. } => name::say(source, *at, words),
        Intent::NamePart { part, name } => name::write(source, *part, name),
        Intent::IgnoreHere { at, rule } => Ok(ignore::here(source, *at, rule)),
        Intent::IgnoreInFile { rule } => Ok(ignore::in_file(source, rule)),
        Intent::DropIgnored { at, rules } => ignore::without(source, *at, rules),
        Intent::RenameIgnored { at, rule } => ignored::rename(source.score, *at, rule),
    }?;
    edits.sort_by_key(|edit| edit.span);
    // Text that two intents or two branches agree on is written once.
    edits.dedup();
    Ok(edits)
}
