//! The writing half of MusicXML: each intent in a file of its own, all of them as the fewest edits that say it.

mod accidentals;
mod attributes;
mod cue;
mod ignore;
mod keys;
mod marks;
mod name;
mod notes;
mod page;
mod pitches;
mod rewrite;
mod shape;
mod transposition;

use score::Intent;

pub(crate) use self::page::Source;
use crate::edit::{CannotWrite, TextEdit};
use crate::writing::{cannot, ignored, in_order, insert, replace};

/// The edits, in document bytes, sorted and apart, that make MusicXML say an intent.
///
/// All that the intent does not touch stays byte for byte, and what was valid stays so. No edits means that the text
/// says it already. Fails when the thing named is not there, or when the format cannot say the change.
pub(crate) fn write(source: &Source<'_>, intent: &Intent) -> Result<Vec<TextEdit>, CannotWrite> {
    let edits = match intent {
        Intent::DropKeySignatures {
            parts,
            courtesy,
            brackets,
        } => keys::drop_all(source, parts, *courtesy, *brackets),
        Intent::SetKeySignature { part, key } => keys::set(source, *part, *key),
        Intent::RewritePart { part, ways } => rewrite::write(source, *part, ways),
        Intent::MoveOctaves { notes, octaves } => pitches::by_octaves(source, notes, *octaves),
        Intent::MoveNote { note, from, to } => pitches::to(source, *note, *from, *to),
        Intent::ShowAccidental { note, brackets } => pitches::show(source, *note, *brackets),
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
        Intent::SayOfPart {
            kind, at, words, ..
        } => name::say(source, *kind, *at, words),
        Intent::NamePart { part, name } => name::write(source, *part, name),
        Intent::IgnoreHere { at, rule } => ignore::here(source, *at, rule),
        Intent::IgnoreInFile { rule } => ignore::in_file(source, rule),
        Intent::DropIgnored { at, rules } => ignore::without(source, *at, rules),
        Intent::RenameIgnored { at, rule } => ignored::rename(source.score, *at, rule),
    }?;
    Ok(in_order(edits))
}
