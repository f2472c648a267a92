//! The accidentals of a part under a change, as elements.
//!
//! A note's pitch is spelled out in full and needs no accidental to be known; `<accidental>` is what the page shows.
//! The format has no rule for how long one holds; players' practice is to the barline, on its line or space. On a
//! staff that two lines share they differ on whether one line's accidental speaks to the other.

use score::{Event, EventKind, Note, Part, Span};
use theory::{Key, Pitch};

use super::page::{Page, Source};
use super::shape::{add_child, take_out};
use super::{cannot, replace};
use crate::edit::{CannotWrite, TextEdit};
use crate::musicxml::read::pitch;
use crate::musicxml::tree::Element;
pub(super) use crate::writing::accidentals::Show;
use crate::writing::accidentals::{Change, Reach, Seen, Walk};

/// What comes after a note's accidental (MusicXML 4.0, `note`).
const AFTER_ACCIDENTAL: [&str; 10] = [
    "time-modification",
    "stem",
    "notehead",
    "notehead-text",
    "staff",
    "beam",
    "notations",
    "lyric",
    "play",
    "listen",
];

/// The edits at the notes of the part; those at the keys are not among them.
pub(super) fn edits(
    source: &Source<'_>,
    part: &Part,
    change: &Change,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let mut walk = Walk::new(change, &[Reach::Octave, Reach::Staff]);
    // The pitches, in the new text, of notes that are held into others.
    let mut held = Vec::new();
    let mut edits = Vec::new();
    let reached = change.reached(part, 0);
    if let Some((span, key)) = key_before(part, reached.from) {
        walk.key(span, key);
    }
    let bars = part.bars.iter().enumerate().take(reached.end);
    for (index, bar) in bars.skip(reached.from) {
        walk.enter(index);
        for run in &bar.runs {
            let Some(page) = source.measure(run.base) else {
                return cannot("the part's measures are not there any more");
            };
            // As the eye goes, not as the text does: several lines of one bar stand one after the other.
            let mut events: Vec<&Event> = run.body.events.iter().collect();
            events.sort_by_key(|event| event.offset);
            for event in events {
                let span = event.span.shifted(run.base);
                match &event.kind {
                    EventKind::Key(key) => walk.key(span, *key),
                    EventKind::Note(written) => {
                        let pitch_span = written.pitch_span.shifted(run.base);
                        let places = (span, pitch_span);
                        let more = note(&page, &mut walk, &mut held, change, written, places);
                        // What stands before is only read for what it holds.
                        if index >= reached.first {
                            edits.extend(more?);
                        }
                    }
                    _ => {}
                }
            }
        }
    }
    Ok(edits)
}

/// The last key before a bar, and where it stands.
fn key_before(part: &Part, bar: usize) -> Option<(Span, Key)> {
    let before = part.bars.get(..bar)?.iter().rev();
    before
        .flat_map(|bar| bar.runs.iter().rev())
        .find_map(|run| {
            let keys = run.body.events.iter().filter_map(|event| match event.kind {
                EventKind::Key(key) => Some((event, key)),
                _ => None,
            });
            let (last, key) = keys.max_by_key(|(event, _)| event.offset)?;
            Some((last.span.shifted(run.base), key))
        })
}

fn note(
    page: &Page<'_>,
    walk: &mut Walk<'_>,
    held: &mut Vec<Pitch>,
    change: &Change,
    note: &Note,
    (span, pitch_span): (Span, Span),
) -> Result<Vec<TextEdit>, CannotWrite> {
    let found = page.at(span).zip(page.at(pitch_span));
    let Some((element, at, old)) =
        found.and_then(|(element, at)| Some((element, at, pitch::pitch(at).ok()?)))
    else {
        return cannot("a note of the part is not there any more");
    };
    let new = change.pitches.get(&pitch_span).copied().unwrap_or(old);
    let sign = element.child("accidental");
    let stands = sign.map(|sign| pitch::sign(&sign.words()).unwrap_or(old.alteration.0));
    let tied = held.iter().position(|held| note.tied_from && *held == new);
    let signed = change.signed.contains(&pitch_span);
    let seen = Seen {
        layer: note.layer,
        staff: element.child_number("staff").unwrap_or(1),
        old,
        new,
        stands,
        held_old: None,
        held_new: tied.map(|_| new.alteration.0),
        stated: signed || note.tied_from || old != new,
        signed,
    };
    let show = walk.note(&seen);
    if let Some(place) = tied {
        held.remove(place);
    }
    if note.tied_to {
        held.push(new);
    }
    let mut edits = respelled(page, at, old, new);
    if show.sign != stands {
        let brackets = change.brackets && show.reminder;
        edits.extend(signs(page, element, sign, show, brackets)?);
    }
    Ok(edits)
}

/// The edits that spell a note's new pitch.
pub(super) fn respelled(page: &Page<'_>, at: Element<'_>, old: Pitch, new: Pitch) -> Vec<TextEdit> {
    let mut edits = Vec::new();
    let mut set = |name: &str, text: String| {
        if let Some(child) = at.child(name) {
            edits.push(replace(page.place(child.inner()), text));
        }
    };
    if old.letter != new.letter {
        set("step", new.letter.as_char().to_string());
    }
    if old.octave != new.octave {
        set("octave", new.octave.to_string());
    }
    if old.alteration != new.alteration {
        let alter = new.alteration.0;
        match at.child("alter") {
            Some(child) if alter == 0 => edits.push(take_out(page, child, child)),
            Some(child) => edits.push(replace(page.place(child.inner()), alter.to_string())),
            None => {
                let child = format!("<alter>{alter}</alter>");
                edits.push(add_child(page, at, &["octave"], &child));
            }
        }
    }
    edits
}

/// The edits that show another accidental at a note, or none.
pub(super) fn signs(
    page: &Page<'_>,
    note: Element<'_>,
    sign: Option<Element<'_>>,
    show: Show,
    brackets: bool,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let word = match show.sign.map(pitch::sign_word) {
        Some(None) => return cannot("there is no accidental for more than three sharps or flats"),
        Some(Some(word)) => Some(word),
        None => None,
    };
    Ok(match (sign, word) {
        (Some(sign), None) => vec![take_out(page, sign, sign)],
        (Some(sign), Some(word)) if sign.is_one_tag() => {
            vec![replace(
                page.place(sign.span()),
                accidental(word, show.reminder, brackets),
            )]
        }
        (Some(sign), Some(word)) => vec![replace(page.place(sign.inner()), word)],
        (None, Some(word)) => {
            let child = accidental(word, show.reminder, brackets);
            vec![add_child(page, note, &AFTER_ACCIDENTAL, &child)]
        }
        (None, None) => Vec::new(),
    })
}

fn accidental(word: &str, reminder: bool, brackets: bool) -> String {
    let cautionary = if reminder { " cautionary=\"yes\"" } else { "" };
    let brackets = if brackets { " parentheses=\"yes\"" } else { "" };
    format!("<accidental{cautionary}{brackets}>{word}</accidental>")
}
