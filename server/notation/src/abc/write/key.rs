//! Writing another signature into a key field, or a key field before one part's music.

use score::Span;
use theory::{Key, Letter};
use tree_sitter::Node;

use super::find::{FoundPart, children, descendants, enclosing};
use super::pitch::sign;
use super::{Source, cannot, insert, replace};
use crate::edit::{CannotWrite, TextEdit};

/// Major tonics from seven flats to seven sharps.
const TONICS: [&str; 15] = [
    "Cb", "Gb", "Db", "Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#", "C#",
];

/// A key as a key field says it: `none`, a major tonic, or each accidental by itself.
pub(super) fn text(key: &Key) -> Result<String, CannotWrite> {
    if key.is_none() {
        return Ok("none".to_owned());
    }
    let usual = key
        .fifths()
        .and_then(|fifths| usize::try_from(fifths + 7).ok())
        .and_then(|place| TONICS.get(place));
    if let Some(tonic) = usual {
        return Ok((*tonic).to_owned());
    }
    let mut text = "C exp".to_owned();
    for letter in Letter::ALL {
        let alteration = key.alteration(letter).0;
        if alteration == 0 {
            continue;
        }
        let Some(sign) = sign(alteration) else {
            return cannot("ABC has no accidental for more than a double sharp or flat");
        };
        text.push(' ');
        text.push_str(sign);
        text.push(letter.as_char().to_ascii_lowercase());
    }
    Ok(text)
}

/// The edits that give a part other keys: `wanted` says for each old one what it becomes, `None` leaves it.
///
/// A key field that only this part reads is changed where it stands. When the one in the header is `shared` with parts
/// that keep it, it stays, and this part gets its own before its first note.
pub(super) fn edits(
    source: &Source<'_>,
    part: FoundPart<'_>,
    shared: bool,
    wanted: &dyn Fn(Span, &Key) -> Option<Key>,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let mut edits = Vec::new();
    for (span, old) in part.keys() {
        let Some(key) = wanted(span, &old) else {
            continue;
        };
        let Some(field) = source.around(span, &["key_field"]) else {
            return cannot("the key field is not there any more");
        };
        if !shared || !in_header(field) {
            edits.extend(field_edits(source, field, &key)?);
        } else {
            edits.push(own_field(source, part, &key)?);
        }
    }
    Ok(edits)
}

fn in_header(field: Node<'_>) -> bool {
    enclosing(field, "tune_header").is_some()
}

/// The edits that make one key field say a key, its clef and other properties kept.
pub(super) fn field_edits(
    source: &Source<'_>,
    field: Node<'_>,
    key: &Key,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let text = text(key)?;
    let mut edits = Vec::new();
    let mut said: Option<Span> = None;
    let mut name_end = field.start_byte();
    for child in children(field) {
        match child.kind() {
            "key_tonic" | "key_mode" | "key_none" | "key_pipes" => {
                let span = Span::from(child.byte_range());
                said = Some(said.map_or(span, |before| before.joined(span)));
            }
            "key_explicit" | "key_accidental" => {
                let before = source.text[..child.start_byte()].trim_end_matches([' ', '\t']);
                edits.push(replace(Span::new(before.len(), child.end_byte()), ""));
            }
            "field_name" => name_end = child.end_byte(),
            _ => {}
        }
    }
    // Accidentals may lean on what stands before them (`K:D^f`), so all that names the key goes as one when it can.
    match said {
        Some(span) => edits.push(replace(span, text)),
        None => {
            let rest = source.text[name_end..].chars().next();
            let blanks = source.text[name_end..].len()
                - source.text[name_end..]
                    .trim_start_matches([' ', '\t'])
                    .len();
            let taken = edits
                .iter()
                .find(|edit| edit.span.start == name_end)
                .cloned();
            match taken {
                Some(first) => {
                    edits.retain(|edit| *edit != first);
                    let gap = gap_before(source.text, first.span.end);
                    edits.push(replace(first.span, format!("{text}{gap}")));
                }
                None if rest.is_none_or(|next| next == '\n' || next == '\r') => {
                    edits.push(insert(name_end, text));
                }
                None => {
                    let gap = gap_before(source.text, name_end + blanks);
                    edits.push(insert(name_end + blanks, format!("{text}{gap}")));
                }
            }
        }
    }
    Ok(edits)
}

/// A space, when what stands at a byte would else run into a word before it.
fn gap_before(text: &str, byte: usize) -> &'static str {
    match text[byte..].chars().next() {
        None | Some(' ' | '\t' | '\n' | '\r' | ']' | '%') => "",
        Some(_) => " ",
    }
}

/// The edit that puts a key field of a part's own before its first note or rest.
fn own_field(source: &Source<'_>, part: FoundPart<'_>, key: &Key) -> Result<TextEdit, CannotWrite> {
    let text = format!("[K:{}]", text(key)?);
    let Some(first) = part.first_sound() else {
        return cannot("the part has no music to put a key signature before");
    };
    let measure = source
        .tree
        .root_node()
        .descendant_for_byte_range(first.start, first.start)
        .and_then(|node| enclosing(node, "measure"));
    let Some(measure) = measure else {
        return cannot("the part's first bar is not there any more");
    };
    // Within a line that changes voices, only what follows the part's own voice field is the part's.
    let own = descendants(measure, &["inline_field"])
        .into_iter()
        .filter(|field| {
            field.end_byte() <= first.start && !descendants(*field, &["voice_field"]).is_empty()
        })
        .map(|field| field.end_byte())
        .next_back();
    Ok(insert(own.unwrap_or(measure.start_byte()), text))
}
