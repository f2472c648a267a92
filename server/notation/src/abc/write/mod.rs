//! The writing half of ABC: each intent in a file of its own, all of them as the fewest edits that say it.

mod accidentals;
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

use score::{Intent, Score, Span};
use tree_sitter::Tree;

use crate::edit::{CannotWrite, TextEdit};

/// What the writers look at: a document's text, its tree and what was read from them.
struct Source<'a> {
    text: &'a str,
    tree: &'a Tree,
    score: &'a Score,
}

/// The edits, in document bytes, sorted and apart, that make ABC text say an intent.
///
/// All that the intent does not touch stays byte for byte. No edits means that the text says it already.
///
/// # Errors
///
/// `CannotWrite` when the thing named is not there, or when ABC cannot say the change without touching more.
pub(crate) fn write(
    text: &str,
    tree: &Tree,
    score: &Score,
    intent: &Intent,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let source = Source { text, tree, score };
    let mut edits = match intent {
        Intent::DropKeySignatures { parts, courtesy } => drop_key::write(&source, parts, *courtesy),
        Intent::SetKeySignature { part, key } => set_key::write(&source, *part, *key),
        Intent::RewritePart { part, by } => rewrite::write(&source, *part, *by),
        Intent::MoveOctaves { notes, octaves } => octaves::write(&source, notes, *octaves),
        Intent::MoveNote { note, to } => move_note::write(&source, *note, *to),
        Intent::ShowAccidental { note } => show::write(&source, *note),
        Intent::AddMark { note, mark } => marks::add(&source, *note, mark),
        Intent::ReplaceMark { mark, with } => marks::replace(&source, *mark, with),
        Intent::RemoveMark { mark } => marks::remove(&source, *mark),
        Intent::SetTransposition {
            part,
            transposition,
        } => transposition::write(&source, *part, *transposition),
        Intent::NamePart { part, name } => name::write(&source, *part, name),
        Intent::IgnoreHere { at, rule } => ignore::here(&source, *at, rule),
        Intent::IgnoreInFile { rule } => ignore::in_file(&source, rule),
    }?;
    edits.sort_by_key(|edit| edit.span);
    // What is added at one place is one edit, so that nobody has to care for an order.
    edits.dedup_by(|later, earlier| {
        let joined = earlier.span.is_empty() && later.span.start == earlier.span.start;
        if joined {
            earlier.span = later.span;
            earlier.text.push_str(&later.text);
        }
        joined
    });
    Ok(edits)
}

/// A refusal with its reason.
fn cannot<T>(why: impl Into<String>) -> Result<T, CannotWrite> {
    Err(CannotWrite { why: why.into() })
}

/// An edit that puts `text` in place of a span.
fn replace(span: Span, text: impl Into<String>) -> TextEdit {
    TextEdit {
        span,
        text: text.into(),
    }
}

/// An edit that adds `text` before a byte.
fn insert(at: usize, text: impl Into<String>) -> TextEdit {
    replace(Span::new(at, at), text)
}
