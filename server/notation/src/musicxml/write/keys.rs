//! Taking key signatures out, and giving a part another one.

use score::{Courtesy, EventKind, Part, PartRef, Span};
use theory::{Key, Letter};

use super::attributes;
use super::page::{Page, Source};
use super::shape::take_out;
use super::{accidentals, cannot, cue, replace};
use crate::edit::{CannotWrite, TextEdit};
use crate::musicxml::read::pitch;
use crate::musicxml::tree::Element;
use crate::writing::accidentals::Change;

/// What comes after the key in `<attributes>` (MusicXML 4.0, `attributes`).
const AFTER_KEY: [&str; 10] = [
    "time",
    "staves",
    "part-symbol",
    "instruments",
    "clef",
    "staff-details",
    "transpose",
    "for-part",
    "directive",
    "measure-style",
];

const AT_CONCERT_PITCH: &str =
    "the score is shown at concert pitch, so its key signatures are everybody's";

/// Every signature of the parts goes to no sharps or flats, and every note keeps its pitch and reads right.
pub(super) fn drop_all(
    source: &Source<'_>,
    parts: &[PartRef],
    courtesy: Courtesy,
    brackets: bool,
) -> Result<Vec<TextEdit>, CannotWrite> {
    if source.is_at_concert_pitch() {
        return cannot(AT_CONCERT_PITCH);
    }
    let mut edits = Vec::new();
    for part in parts {
        let part = source.part(*part)?;
        let mut change = Change::nothing();
        change.courtesy = courtesy;
        change.brackets = brackets;
        for (span, measure, key) in keys(part) {
            if !key.is_none() {
                change.keys.insert(span, Key::NONE);
                edits.extend(rewritten(source, span, measure, &Key::NONE)?);
            }
        }
        if !change.keys.is_empty() {
            edits.extend(accidentals::edits(source, part, &change)?);
            edits.extend(cue::moved::edits(source, part, &[], &change)?);
        }
    }
    Ok(edits)
}

/// The part starts in `key`; later signatures that say what its first one said follow, others stay.
pub(super) fn set(
    source: &Source<'_>,
    part: PartRef,
    key: Key,
) -> Result<Vec<TextEdit>, CannotWrite> {
    if source.is_at_concert_pitch() {
        return cannot(AT_CONCERT_PITCH);
    }
    let part = source.part(part)?;
    let start = part.key.map_or(Key::NONE, |(key, _)| key);
    if start == key {
        return Ok(Vec::new());
    }
    let mut change = Change::nothing();
    change.drop_implied = true;
    let mut edits = Vec::new();
    if part.key.is_none() {
        change.start = key;
        edits.push(new_key(source, part, &key)?);
    }
    for (span, measure, old) in keys(part) {
        if old == start {
            change.keys.insert(span, key);
            edits.extend(rewritten(source, span, measure, &key)?);
        }
    }
    edits.extend(accidentals::edits(source, part, &change)?);
    edits.extend(cue::moved::edits(source, part, &[], &change)?);
    Ok(edits)
}

/// The key signatures of a part, each with where its measure begins.
pub(super) fn keys(part: &Part) -> Vec<(Span, usize, Key)> {
    part.events()
        .filter_map(|placed| match placed.event.kind {
            EventKind::Key(key) => Some((placed.span(), placed.base, key)),
            _ => None,
        })
        .collect()
}

/// The edits that make a `<key>` say a signature, and those next to it that are for other staves of the part.
pub(super) fn rewritten(
    source: &Source<'_>,
    span: Span,
    measure: usize,
    key: &Key,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let page = source.measure(measure);
    let found = page.as_ref().and_then(|page| Some((page, page.at(span)?)));
    let Some((page, element)) = found else {
        return cannot("the key signature is not there any more");
    };
    let mut edits = one(page, element, key);
    let old = pitch::key(element);
    let others = element
        .parent()
        .into_iter()
        .flat_map(|attributes| attributes.named("key"))
        .filter(|other| *other != element && pitch::key(*other) == old);
    for other in others.filter(|other| other.attribute("number").is_some()) {
        edits.extend(one(page, other, key));
    }
    Ok(edits)
}

fn one(page: &Page<'_>, element: Element<'_>, key: &Key) -> Vec<TextEdit> {
    let fifths = element.child("fifths").zip(key.fifths());
    let Some((child, fifths)) = fifths else {
        // Named step by step, before or from now on: all that it says is new.
        let octaves = element.child("key-octave");
        let first = element.children().next();
        let text = spelled(key);
        return match (first, octaves, element.last_child()) {
            (Some(first), None, Some(last)) => {
                let span = first.span().joined(last.span());
                vec![replace(page.place(span), text)]
            }
            _ => vec![replace(page.place(element.inner()), text)],
        };
    };
    let mut edits = vec![replace(page.place(child.inner()), fifths.to_string())];
    // Naturals for a signature that is no longer the one before, and the name of its mode, say the old key.
    if let Some(cancel) = element.child("cancel") {
        edits.push(take_out(page, cancel, cancel));
    }
    if let Some(mode) = element.child("mode") {
        if key.is_none() {
            edits.push(replace(page.place(mode.inner()), "none"));
        } else {
            edits.push(take_out(page, mode, mode));
        }
    }
    // `<cancel>` stands before the fifths, so the gap before them may have gone twice.
    edits.dedup();
    edits
}

/// What a `<key>` holds to say a signature.
fn spelled(key: &Key) -> String {
    if let Some(fifths) = key.fifths() {
        return format!("<fifths>{fifths}</fifths>");
    }
    Letter::ALL
        .into_iter()
        .filter(|letter| key.alteration(*letter).0 != 0)
        .map(|letter| {
            let alter = key.alteration(letter).0;
            let step = letter.as_char();
            format!("<key-step>{step}</key-step><key-alter>{alter}</key-alter>")
        })
        .collect()
}

/// A part that has no signature gets one.
fn new_key(source: &Source<'_>, part: &Part, key: &Key) -> Result<TextEdit, CannotWrite> {
    let Some(page) = source.first_measure(part) else {
        return cannot("the part has no music to put a key signature before");
    };
    attributes::add(&page, &AFTER_KEY, "key", &[spelled(key)])
}
