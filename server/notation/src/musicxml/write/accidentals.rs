//! Which accidentals must stand once keys or pitches change, so that every note still reads as it is meant.
//!
//! A note's pitch is spelled out in full and needs no accidental to be known; `<accidental>` is what the page shows.
//! The format has no rule for how long one holds; players' practice is to the barline, on its line or space. On a
//! staff that two lines share they differ on whether one line's accidental speaks to the other, so a note gets its
//! accidental as soon as either reading would go wrong that went right before.

use std::collections::HashMap;

use score::{Bar, Courtesy, Event, EventKind, Note, Part, Span};
use theory::{Key, Letter, Pitch};

use super::page::{Page, Source};
use super::shape::{add_child, take_out};
use super::{cannot, replace};
use crate::edit::{CannotWrite, TextEdit};
use crate::musicxml::read::pitch;
use crate::musicxml::tree::Element;

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

/// A line or space of a staff.
type Line = (usize, Letter, i8);

/// What is to be otherwise in a part.
pub(super) struct Change<'a> {
    pub(super) part: &'a Part,
    /// What each key becomes, by where it stands in the document.
    pub(super) keys: HashMap<Span, Key>,
    /// The key before the first that is written.
    pub(super) start: Key,
    /// The new written pitches by where the old ones stand.
    pub(super) pitches: HashMap<Span, Pitch>,
    /// Where the pitches stand that are to show an accidental whether or not one is needed.
    pub(super) signed: Vec<Span>,
    /// Whether accidentals that a new key implies are taken out.
    pub(super) drop_implied: bool,
    pub(super) courtesy: Courtesy,
}

impl<'a> Change<'a> {
    /// A change of nothing yet.
    pub(super) fn of(part: &'a Part) -> Self {
        Self {
            part,
            keys: HashMap::new(),
            start: Key::NONE,
            pitches: HashMap::new(),
            signed: Vec::new(),
            drop_implied: false,
            courtesy: Courtesy::Never,
        }
    }

    /// The edits at the notes of the part; those at the keys are not among them.
    pub(super) fn edits(&self, source: &Source<'_>) -> Result<Vec<TextEdit>, CannotWrite> {
        let mut walk = Walk {
            change: self,
            old_key: Key::NONE,
            new_key: self.start,
            readers: [Reader::new(false), Reader::new(true)],
            altered: HashMap::new(),
            altered_before: HashMap::new(),
            held: Vec::new(),
        };
        let mut edits = Vec::new();
        for bar in &self.part.bars {
            walk.bar(source, bar, &mut edits)?;
        }
        Ok(edits)
    }
}

/// A reader of the old and the new text, and the accidentals met in the bar.
struct Reader {
    /// Whether one line's accidental speaks to the others on the staff.
    shared: bool,
    old: HashMap<(u8, Line), i8>,
    new: HashMap<(u8, Line), i8>,
}

impl Reader {
    fn new(shared: bool) -> Self {
        Self {
            shared,
            old: HashMap::new(),
            new: HashMap::new(),
        }
    }

    const fn place(&self, layer: u8, line: Line) -> (u8, Line) {
        (if self.shared { 0 } else { layer }, line)
    }
}

struct Walk<'c, 'a> {
    change: &'c Change<'a>,
    old_key: Key,
    new_key: Key,
    readers: [Reader; 2],
    /// The last alteration at each line or space, in this bar and in the one before.
    altered: HashMap<Line, i8>,
    altered_before: HashMap<Line, i8>,
    /// The pitches, in the new text, of notes that are held into others.
    held: Vec<Pitch>,
}

/// A note as its element shows it.
struct Shown<'p> {
    note: &'p Note,
    pitch: Element<'p>,
    /// Its pitch on the page, old and new.
    old: Pitch,
    new: Pitch,
    staff: usize,
    /// Whether it is to show its accidental in any case.
    signed: bool,
}

impl Walk<'_, '_> {
    fn bar(
        &mut self,
        source: &Source<'_>,
        bar: &Bar,
        edits: &mut Vec<TextEdit>,
    ) -> Result<(), CannotWrite> {
        self.altered_before = std::mem::take(&mut self.altered);
        for reader in &mut self.readers {
            reader.old.clear();
            reader.new.clear();
        }
        for run in &bar.runs {
            let Some(page) = source.measure(run.base) else {
                return cannot("the part's measures are not there any more");
            };
            // As the eye goes, not as the text does: several lines of one bar stand one after the other.
            let mut events: Vec<&Event> = run.body.events.iter().collect();
            events.sort_by_key(|event| event.offset);
            for event in events {
                match &event.kind {
                    EventKind::Key(_) => self.key(&page, event.span.shifted(run.base)),
                    EventKind::Note(note) => {
                        let span = event.span.shifted(run.base);
                        edits.extend(self.note(&page, note, span, run.base)?);
                    }
                    _ => {}
                }
            }
        }
        Ok(())
    }

    fn key(&mut self, page: &Page<'_>, span: Span) {
        if let Some(key) = page.at(span).and_then(pitch::key) {
            self.old_key = key;
            self.new_key = self.change.keys.get(&span).copied().unwrap_or(key);
        }
    }

    fn note(
        &mut self,
        page: &Page<'_>,
        note: &Note,
        span: Span,
        base: usize,
    ) -> Result<Vec<TextEdit>, CannotWrite> {
        let pitch_span = note.pitch_span.shifted(base);
        let found = page.at(span).zip(page.at(pitch_span));
        let Some((element, (pitch, old))) =
            found.and_then(|(element, at)| Some((element, (at, pitch::pitch(at).ok()?))))
        else {
            return cannot("a note of the part is not there any more");
        };
        // In a score at concert pitch the page shows another pitch than the part's own.
        let moved = theory::Interval::between(note.written.0, old);
        let new = self
            .change
            .pitches
            .get(&pitch_span)
            .map_or(old, |new| new.transposed(moved));
        let shown = Shown {
            note,
            pitch,
            old,
            new,
            staff: element.child_number("staff").unwrap_or(1),
            signed: self.change.signed.contains(&pitch_span),
        };
        let sign = element.child("accidental");
        let stands = sign.map(|sign| pitch::sign(&sign.words()).unwrap_or(old.alteration.0));
        let due = self.accidental(&shown, stands);
        let reminder = shown.signed && due.is_none();
        let show = due.or_else(|| reminder.then_some(new.alteration.0));
        self.meet(&shown, stands, show);
        let mut edits = respelled(page, &shown);
        if show != stands {
            edits.extend(signed(page, element, sign, show, reminder)?);
        }
        Ok(edits)
    }

    /// The accidental to show at a note, given the one it shows.
    fn accidental(&self, shown: &Shown<'_>, stands: Option<i8>) -> Option<i8> {
        let (old, new) = (shown.old, shown.new);
        let wanted = new.alteration.0;
        let layer = shown.note.layer;
        let line = |pitch: Pitch| (shown.staff, pitch.letter, pitch.octave);
        let tied = shown.note.tied_from && self.held.contains(&new);
        let read_new = |reader: &Reader| {
            let met = reader.new.get(&reader.place(layer, line(new)));
            met.copied()
                .unwrap_or_else(|| self.new_key.alteration(new.letter).0)
        };
        let read_old = |reader: &Reader| {
            let met = reader.old.get(&reader.place(layer, line(old)));
            met.copied()
                .unwrap_or_else(|| self.old_key.alteration(old.letter).0)
        };
        let misread = |reader: &Reader| !tied && read_new(reader) != wanted;
        if stands == Some(wanted) {
            let implied = self.new_key.alteration(new.letter).0 == wanted
                && self.old_key.alteration(old.letter).0 != wanted;
            let drop = self.change.drop_implied && implied;
            return (!drop || self.readers.iter().any(misread)).then_some(wanted);
        }
        let needed = self.readers.iter().any(|reader| {
            let was_right = shown.signed
                || stands.is_some()
                || shown.note.tied_from
                || old != new
                || read_old(reader) == old.alteration.0;
            was_right && misread(reader)
        });
        let due = self.change.courtesy == Courtesy::NextBar
            && !tied
            && !self.altered.contains_key(&line(new))
            && self
                .altered_before
                .get(&line(new))
                .is_some_and(|before| *before != wanted);
        (needed || due).then_some(wanted)
    }

    /// Remembers a note for those after it.
    fn meet(&mut self, shown: &Shown<'_>, stands: Option<i8>, show: Option<i8>) {
        let layer = shown.note.layer;
        let line = |pitch: Pitch| (shown.staff, pitch.letter, pitch.octave);
        for reader in &mut self.readers {
            if let Some(sign) = stands {
                let place = reader.place(layer, line(shown.old));
                reader.old.insert(place, sign);
            }
            if let Some(sign) = show {
                let place = reader.place(layer, line(shown.new));
                reader.new.insert(place, sign);
            }
        }
        self.altered.insert(line(shown.new), shown.new.alteration.0);
        if shown.note.tied_from
            && let Some(place) = self.held.iter().position(|held| *held == shown.new)
        {
            self.held.remove(place);
        }
        if shown.note.tied_to {
            self.held.push(shown.new);
        }
    }
}

/// The edits that spell a note's new pitch.
fn respelled(page: &Page<'_>, shown: &Shown<'_>) -> Vec<TextEdit> {
    let (old, new) = (shown.old, shown.new);
    let mut edits = Vec::new();
    let mut set = |name: &str, text: String| {
        if let Some(child) = shown.pitch.child(name) {
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
        match shown.pitch.child("alter") {
            Some(child) if alter == 0 => edits.push(take_out(page, child, child)),
            Some(child) => edits.push(replace(page.place(child.inner()), alter.to_string())),
            None => {
                let child = format!("<alter>{alter}</alter>");
                edits.push(add_child(page, shown.pitch, &["octave"], &child));
            }
        }
    }
    edits
}

/// The edits that show another accidental at a note, or none.
fn signed(
    page: &Page<'_>,
    note: Element<'_>,
    sign: Option<Element<'_>>,
    show: Option<i8>,
    reminder: bool,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let word = match show.map(pitch::sign_word) {
        Some(None) => return cannot("there is no accidental for more than three sharps or flats"),
        Some(Some(word)) => Some(word),
        None => None,
    };
    Ok(match (sign, word) {
        (Some(sign), None) => vec![take_out(page, sign, sign)],
        (Some(sign), Some(word)) if sign.is_one_tag() => {
            vec![replace(page.place(sign.span()), accidental(word, reminder))]
        }
        (Some(sign), Some(word)) => vec![replace(page.place(sign.inner()), word)],
        (None, Some(word)) => {
            let child = accidental(word, reminder);
            vec![add_child(page, note, &AFTER_ACCIDENTAL, &child)]
        }
        (None, None) => Vec::new(),
    })
}

fn accidental(word: &str, reminder: bool) -> String {
    let cautionary = if reminder { " cautionary=\"yes\"" } else { "" };
    format!("<accidental{cautionary}>{word}</accidental>")
}
