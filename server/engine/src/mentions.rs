//! Where a text names a part: its name, its id, and the instructions that speak of it; and giving it another name.

use horn::{CrookName, read_name};
use notation::{Format, TextEdit};
use score::{DirectiveKind, Part, PartSelector, Span};

use crate::Judged;

/// What a part is called by at a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Called {
    /// The name on the page.
    Name,
    /// The notation's own id.
    Id,
}

/// All places of a text that call one part. Spans count from the start of the document.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mentions {
    /// The piece, by its place in the document.
    pub piece: usize,
    /// The part, by its place in the piece.
    pub part: usize,
    /// Where it is declared.
    pub head: Span,
    /// Each place, in the order of the text, and what the part is called by there.
    pub places: Vec<(Span, Called)>,
}

impl Mentions {
    /// All places that call the part which is called at a byte, and that place; `None` where no part is called.
    #[must_use]
    pub fn at(judged: &Judged, byte: usize) -> Option<(Self, (Span, Called))> {
        let ids = judged.document().part_ids();
        let pieces = &judged.document().score().pieces;
        let all = pieces.iter().enumerate().flat_map(|(piece, placed)| {
            let parts = 0..placed.piece.parts.len();
            parts.map(move |part| (piece, part))
        });
        let mut all = all.filter_map(|(piece, part)| Self::of(judged, &ids, piece, part));
        all.find_map(|mentions| {
            let here = mentions
                .places
                .iter()
                .find(|(span, _)| span.touches(byte))
                .copied()?;
            Some((mentions, here))
        })
    }

    fn of(judged: &Judged, ids: &[(Span, String)], piece: usize, part: usize) -> Option<Self> {
        let score = judged.document().score();
        let placed = score.pieces.get(piece)?;
        let parts = &placed.piece.parts;
        let called = parts.get(part)?;
        let whole = placed.piece.span.shifted(placed.base);
        let mut places: Vec<(Span, Called)> = Vec::new();
        let name = called.name.as_ref();
        places.extend(name.map(|name| (name.span.shifted(placed.base), Called::Name)));
        let here = ids
            .iter()
            .filter(|(span, id)| *id == called.id && whole.meets(*span));
        places.extend(here.map(|(span, _)| (*span, Called::Id)));
        let of_file = score.directives.iter().map(|directive| (0, directive));
        let own = &placed.piece.directives;
        let instructions = of_file.chain(own.iter().map(|directive| (placed.base, directive)));
        for (base, directive) in instructions {
            let (verb, selector) = match &directive.kind {
                DirectiveKind::Part { selector, .. } => ("part", selector),
                DirectiveKind::Expect(expect) => match &expect.part {
                    Some(selector) => ("in part", selector),
                    None => continue,
                },
                _ => continue,
            };
            let span = directive.span.shifted(base);
            let said = said(judged, span, verb, selector);
            if selector.select(parts).contains(&part)
                && let Some((span, words)) = said
            {
                places.extend(by(called, &words).map(|by| (span, by)));
            }
        }
        places.sort_by_key(|(span, _)| *span);
        places.dedup();
        Some(Self {
            piece,
            part,
            head: called.head.shifted(placed.base),
            places,
        })
    }

    /// The edits that give the part another name, or another id, wherever it is called by it.
    ///
    /// Fails, saying why, where the new one cannot stand, is another part's, or would change how the part is read.
    pub fn rename(&self, judged: &Judged, by: Called, to: &str) -> Result<Vec<TextEdit>, String> {
        let to = to.trim();
        let format = judged.document().format();
        check(by, to, format)?;
        let placed = judged.document().score().pieces.get(self.piece);
        let parts = placed.map_or(&[][..], |placed| &placed.piece.parts);
        let gone = || "this part is no longer in the text".to_owned();
        let part = parts.get(self.part).ok_or_else(gone)?;
        match by {
            Called::Id if parts.iter().any(|other| other.id == to) => {
                return Err(format!("another part has the id `{to}` already"));
            }
            Called::Id => {}
            Called::Name => check_horn(part, to)?,
        }
        let written = match format {
            Format::MusicXml => escaped(to),
            Format::Abc | Format::Kern => to.to_owned(),
        };
        let places = self.places.iter().filter(|(_, called)| *called == by);
        let edits: Vec<TextEdit> = places
            .map(|(span, _)| TextEdit {
                span: *span,
                text: written.clone(),
            })
            .collect();
        if self.reads_the_same(judged, &edits, by, to) {
            Ok(edits)
        } else {
            Err(format!(
                "with `{to}` the part would be read in another way, so it is left as it is"
            ))
        }
    }

    /// Whether the part is called so after the edits, and every horn sounds and is played as before.
    fn reads_the_same(&self, judged: &Judged, edits: &[TextEdit], by: Called, to: &str) -> bool {
        let Ok(after) = judged.edited(edits) else {
            return false;
        };
        let score = after.document().score();
        let part = score
            .pieces
            .get(self.piece)
            .and_then(|placed| placed.piece.parts.get(self.part));
        let called = part.is_some_and(|part| match by {
            Called::Id => part.id == to,
            Called::Name => part.name.as_ref().is_some_and(|name| name.text == to),
        });
        let played = |judged: &Judged| -> Vec<_> {
            let horns = judged.pieces().flat_map(|(_, reading)| &reading.horns);
            horns
                .map(|horn| {
                    let notes = horn.notes.iter();
                    let notes = notes.map(|note| {
                        let technique = &note.technique;
                        let held = (technique.hand, technique.mute, technique.bell_up);
                        (note.onset, note.length, note.written, note.sounding, held)
                    });
                    notes.collect::<Vec<_>>()
                })
                .collect()
        };
        called && played(judged) == played(&after)
    }
}

/// The words by which an instruction calls a part behind a verb, and where they stand.
fn said(
    judged: &Judged,
    span: Span,
    verb: &str,
    selector: &PartSelector,
) -> Option<(Span, String)> {
    let PartSelector::Named(name) = selector else {
        return None;
    };
    let rope = judged.document().rope();
    let words = rope.get_byte_slice(span.range())?.to_string();
    let behind = words.find(verb)? + verb.len();
    let at = behind + words.get(behind..)?.find(name.as_str())?;
    let place = Span::new(at, at + name.len()).shifted(span.start);
    Some((place, name.clone()))
}

/// What some words call a part by; a number calls it by neither.
fn by(part: &Part, words: &str) -> Option<Called> {
    let name = part.name.as_ref().map_or("", |name| name.text.trim());
    if !name.is_empty() && name.eq_ignore_ascii_case(words.trim()) {
        return Some(Called::Name);
    }
    (part.id == words).then_some(Called::Id)
}

/// Fails, saying why, where a name or id cannot stand in a notation.
fn check(by: Called, to: &str, format: Format) -> Result<(), String> {
    if to.is_empty() {
        return Err(
            "a part needs a name: an empty one tells no player that it is theirs".to_owned(),
        );
    }
    let never: &[char] = match (by, format) {
        (Called::Id, _) => &['"', '\'', '<', '>', '&', '%', '[', ']', '=', ' ', '\t'],
        (Called::Name, Format::Abc) => &['"', '\\', '%'],
        (Called::Name, Format::Kern) => &['\t', '\\'],
        (Called::Name, Format::MusicXml) => &[],
    };
    let cannot = to
        .chars()
        .find(|sign| never.contains(sign) || sign.is_control());
    match cannot {
        Some(sign) => Err(format!(
            "`{sign}` cannot stand in what a part is called in this notation"
        )),
        None => Ok(()),
    }
}

/// Fails where a new name would make another instrument, or another crook, of a part.
fn check_horn(part: &Part, to: &str) -> Result<(), String> {
    let (was, is) = (
        read_name(part.name.as_ref().map_or("", |name| &name.text)),
        read_name(to),
    );
    if was.is_horn && !is.is_horn {
        return Err(format!(
            "`{to}` is no horn's name, and this is a horn's part"
        ));
    }
    let other = was.crook != is.crook && is.crook != CrookName::Unnamed;
    if was.is_horn && was.crook != CrookName::Unnamed && (other || is.crook == CrookName::Unnamed) {
        return Err(format!(
            "`{to}` would make this a part for another horn, and every note would sound elsewhere; to write it for another, \
             use the actions at its name, which move the notes too"
        ));
    }
    Ok(())
}

/// A text as it stands between XML's tags.
fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
}
