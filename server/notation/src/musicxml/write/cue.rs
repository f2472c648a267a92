//! Small notes over a part's rests, in a voice of their own, as the part that plays them has them.

use score::{Bar, CueNote, EventKind, NewCue, Part, PartRef};
use theory::{Alteration, Key, Letter, Pitch, Quarters, WrittenPitch};

use super::notes::part_at;
use super::page::{Page, Source};
use super::shape::{Layout, escaped, take_out};
use super::{cannot, insert, replace};
use crate::edit::{CannotWrite, TextEdit};
use crate::musicxml::read::pitch::sign_word;
use crate::musicxml::tree::Element;

/// What moves the place in a measure.
const TIMED: [&str; 3] = ["note", "backup", "forward"];

/// The rests stay; the small notes follow at the end of each measure, from where they begin.
pub(super) fn write(
    source: &Source<'_>,
    part: PartRef,
    cue: &NewCue,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let part = source.part(part)?;
    let voice = free_voice(source, part);
    let mut edits = Vec::new();
    let mut left = cue.notes.as_slice();
    let mut first = None;
    for (index, bar) in part.bars.iter().enumerate() {
        let end = bar.onset + bar.length;
        let here = left.partition_point(|note| note.onset < end);
        let (own, later) = left.split_at(here);
        left = later;
        if own.is_empty() {
            continue;
        }
        let words = first.is_none().then_some(cue.words.as_str());
        first = first.or(Some(index));
        edits.push(measure(source, bar, own, words, voice)?);
    }
    let Some(first) = first.filter(|_| left.is_empty()) else {
        return cannot("there is no bar in this part for the small notes");
    };
    edits.extend(shorter_rest(source, part, first)?);
    Ok(edits)
}

/// A voice that no note of the part itself is in.
fn free_voice(source: &Source<'_>, part: &Part) -> u32 {
    if let Some(known) = source.cue_voices.borrow().get(&part.id) {
        return *known;
    }
    let mut used = std::collections::HashSet::new();
    for page in source.measures(part) {
        let children = page.tree.top().into_iter().flat_map(Element::children);
        let own = children.filter(|child| {
            matches!(child.name(), "note" | "forward") && child.child("cue").is_none()
        });
        used.extend(own.filter_map(|child| child.value("voice")));
    }
    let free = (2..).find(|voice: &u32| !used.contains(&voice.to_string()));
    let free = free.unwrap_or(2);
    let mut known = source.cue_voices.borrow_mut();
    known.insert(part.id.clone(), free);
    free
}

/// How a measure counts: where its last line has come to, and how many units make a quarter note.
struct Clock {
    at: i64,
    units: Quarters,
}

impl Clock {
    fn of(page: &Page<'_>, bar: &Bar) -> Option<Self> {
        let timed = bar.events(0).find_map(|placed| match &placed.event.kind {
            EventKind::Note(note) if !note.length.is_zero() => Some((placed.span(), note.length)),
            EventKind::Rest(rest) if !rest.length.is_zero() => Some((placed.span(), rest.length)),
            _ => None,
        })?;
        let (span, length) = timed;
        let units: i64 = page.at(span)?.child_number("duration")?;
        let (over, under) = length.parts();
        let mut at = 0_i64;
        for child in page.tree.top()?.children() {
            let moves = TIMED.contains(&child.name())
                && child.child("chord").is_none()
                && child.child("grace").is_none();
            if moves {
                let units: i64 = child.child_number("duration")?;
                let by = if child.name() == "backup" {
                    -units
                } else {
                    units
                };
                at = at.checked_add(by)?;
            }
        }
        let units = Quarters::new(units.checked_mul(under)?, over.max(1));
        Some(Self { at, units })
    }

    /// A length in units, where it is a whole number of them.
    fn count(&self, length: Quarters) -> Result<i64, CannotWrite> {
        let ((a, b), (c, d)) = (length.parts(), self.units.parts());
        match (a.checked_mul(c), b.checked_mul(d)) {
            (Some(over), Some(under)) if under != 0 && over % under == 0 => Ok(over / under),
            _ => cannot("the divisions of this part cannot count the other part's notes"),
        }
    }
}

/// The small notes of a measure.
fn measure(
    source: &Source<'_>,
    bar: &Bar,
    notes: &[CueNote],
    words: Option<&str>,
    voice: u32,
) -> Result<TextEdit, CannotWrite> {
    let run = bar.runs.first().and_then(|run| source.measure(run.base));
    let Some(page) = run else {
        return cannot("the bar is not in the text");
    };
    let Some(clock) = Clock::of(&page, bar) else {
        return cannot("the bar's durations are no whole numbers");
    };
    let timed = page.tree.top().and_then(|top| {
        let children = top.children().filter(|child| TIMED.contains(&child.name()));
        children.last()
    });
    let Some(last) = timed else {
        return cannot("the bar is empty");
    };
    let layout = Layout::of(&page, last);
    let staff = last
        .value("staff")
        .map(|staff| format!("<staff>{staff}</staff>"));
    let mut spelling = Spelling::of(source, bar);
    let shown = Shown::of(source, notes)?;
    let mut text = String::new();
    let mut put = |element: String| {
        text.push_str(layout.line());
        text.push_str(&element);
    };
    let mut at = clock.at;
    let mut words = words;
    for (note, shown) in notes.iter().zip(&shown.0) {
        let from = clock.count(note.onset - bar.onset)?;
        if let Some(way) = moved(&layout, from - at) {
            put(way);
        }
        if let Some(words) = words.take() {
            put(direction(&layout, words, voice, staff.as_deref()));
        }
        let length = clock.count(note.length)?;
        put(shown.note(
            &layout,
            note,
            length,
            voice,
            &mut spelling,
            staff.as_deref(),
        ));
        at = from + length;
    }
    if let Some(way) = moved(&layout, clock.at - at) {
        put(way);
    }
    Ok(insert(page.base + last.span().end, text))
}

/// The element that moves the place in the measure by so many units.
fn moved(layout: &Layout, by: i64) -> Option<String> {
    let name = match by {
        0 => return None,
        1.. => "forward",
        _ => "backup",
    };
    let duration = format!("<duration>{}</duration>", by.abs());
    Some(layout.element(name, name, &[duration]))
}

fn direction(layout: &Layout, words: &str, voice: u32, staff: Option<&str>) -> String {
    let words = format!("<words>{}</words>", escaped(words));
    let inner = layout.deeper();
    let mut children = vec![
        inner.element("direction-type", "direction-type", &[words]),
        format!("<voice>{voice}</voice>"),
    ];
    children.extend(staff.map(str::to_owned));
    layout.element("direction placement=\"above\"", "direction", &children)
}

/// Which accidentals the small notes of a bar need: all that the signature does not say, each time, and those that
/// take one back.
pub(super) struct Spelling {
    key: Key,
    altered: Vec<(Letter, Alteration)>,
}

impl Spelling {
    fn of(source: &Source<'_>, bar: &Bar) -> Self {
        let start = bar.runs.first().map_or(0, |run| run.base);
        let mut key = Key::NONE;
        if let Some(part) = part_at(source, start) {
            let keys = part.events_of(score::Kinds::KEYS);
            let before = keys.take_while(|placed| placed.onset <= bar.onset);
            for placed in before {
                if let EventKind::Key(said) = placed.event.kind {
                    key = said;
                }
            }
        }
        Self::under(key)
    }

    /// In the signature of a bar.
    pub(super) const fn under(key: Key) -> Self {
        Self {
            key,
            altered: Vec::new(),
        }
    }

    /// Whether the next note of the bar needs its accidental.
    pub(super) fn sign(&mut self, WrittenPitch(pitch): WrittenPitch) -> bool {
        let Pitch {
            letter, alteration, ..
        } = pitch;
        let met = |(known, other): &(Letter, Alteration)| *known == letter && *other != alteration;
        let met = self.altered.iter().any(met);
        self.altered.push((letter, alteration));
        alteration != Alteration::NATURAL || met || self.key.alteration(letter) != alteration
    }
}

/// The notes as the other part has them.
struct Shown(Vec<Value>);

/// What a note's value looks like: its elements as they stand in the other part.
struct Value {
    kind: String,
    dots: String,
    tuplet: Option<String>,
    beams: Vec<(u8, String, String)>,
    bracket: Option<(bool, String)>,
}

impl Shown {
    fn of(source: &Source<'_>, notes: &[CueNote]) -> Result<Self, CannotWrite> {
        let mut values = notes
            .iter()
            .map(|note| Value::of(source, note))
            .collect::<Result<Vec<_>, _>>()?;
        whole_groups(&mut values);
        Ok(Self(values))
    }
}

/// The value that lasts so long by itself, with so many dots: what a note without `<type>` leaves to its reader.
fn plain_value(length: Quarters) -> Option<(String, usize)> {
    const VALUES: [(&str, (i64, i64)); 8] = [
        ("breve", (8, 1)),
        ("whole", (4, 1)),
        ("half", (2, 1)),
        ("quarter", (1, 1)),
        ("eighth", (1, 2)),
        ("16th", (1, 4)),
        ("32nd", (1, 8)),
        ("64th", (1, 16)),
    ];
    VALUES.iter().find_map(|(name, (over, under))| {
        let dotted = |dots: &usize| {
            let times = (2_i64 << dots) - 1;
            Quarters::new(over * times, under << dots) == length
        };
        (0..=2).find(dotted).map(|dots| ((*name).to_owned(), dots))
    })
}

/// Beams and brackets of which an end is missing go.
fn whole_groups(values: &mut [Value]) {
    let whole = |ends: Vec<Option<bool>>| -> Vec<bool> {
        let mut kept = vec![false; ends.len()];
        let mut open = None;
        for (at, end) in ends.iter().enumerate() {
            match (end, open) {
                (Some(true), _) => open = Some(at),
                (Some(false), Some(from)) => {
                    kept[from..=at].fill(true);
                    open = None;
                }
                _ => {}
            }
        }
        kept
    };
    let beamed = whole(values.iter().map(Value::beam_end).collect());
    let bracketed = whole(
        values
            .iter()
            .map(|it| it.bracket.as_ref().map(|(start, _)| *start))
            .collect(),
    );
    for ((value, beamed), bracketed) in values.iter_mut().zip(beamed).zip(bracketed) {
        if !beamed {
            value.beams.clear();
        }
        if !bracketed {
            value.bracket = None;
        }
    }
}

impl Value {
    fn of(source: &Source<'_>, shown: &CueNote) -> Result<Self, CannotWrite> {
        let shows = shown.shows;
        let page = source.around(shows.start);
        let found = page.as_ref().and_then(|page| Some((page, page.at(shows)?)));
        let Some((page, note)) = found else {
            return cannot("the note that is to be shown is not there any more");
        };
        let text = page.tree.text();
        let own = |element: Element<'_>| text[element.span().range()].to_owned();
        let own_dots = note.named("dot").count();
        let said = note.value("type").map(|kind| (kind, own_dots));
        let Some((kind, dots)) = said.or_else(|| plain_value(shown.length)) else {
            return cannot("a note that is to be shown does not say its value (`<type>`)");
        };
        // In a chord the first note has what belongs to all.
        let mut leader = note;
        while leader.child("chord").is_some() {
            let Some(before) = leader.before().filter(|before| before.name() == "note") else {
                break;
            };
            leader = before;
        }
        let beams = leader.named("beam").map(|beam| {
            let number = beam
                .attribute("number")
                .and_then(|number| number.parse().ok());
            (
                number.unwrap_or(1),
                beam.words().trim().to_owned(),
                own(beam),
            )
        });
        let tuplets = leader
            .named("notations")
            .flat_map(|notations| notations.named("tuplet"));
        let bracket = tuplets
            .filter(|tuplet| tuplet.is_one_tag())
            .map(|tuplet| (tuplet.says("type", "start"), own(tuplet)))
            .next();
        Ok(Self {
            kind,
            dots: "<dot/>".repeat(dots),
            tuplet: note.child("time-modification").map(own),
            beams: beams.collect(),
            bracket,
        })
    }

    /// Whether a beam begins here, or ends.
    fn beam_end(&self) -> Option<bool> {
        let (_, said, _) = self.beams.iter().find(|(number, ..)| *number == 1)?;
        match said.as_str() {
            "begin" => Some(true),
            "end" => Some(false),
            _ => None,
        }
    }

    /// The small note, its children in the schema's order (MusicXML 4.0, `note`).
    fn note(
        &self,
        layout: &Layout,
        note: &CueNote,
        length: i64,
        voice: u32,
        spelling: &mut Spelling,
        staff: Option<&str>,
    ) -> String {
        let inner = layout.deeper();
        let mut children = vec!["<cue/>".to_owned()];
        let signed = note.written.filter(|written| spelling.sign(*written));
        let sign = signed.and_then(|written| sign_word(written.0.alteration.0));
        match note.written {
            Some(written) => children.push(pitch(&inner, written)),
            None => children.push("<rest/>".to_owned()),
        }
        children.push(format!("<duration>{length}</duration>"));
        children.push(format!("<voice>{voice}</voice>"));
        children.push(format!("<type size=\"cue\">{}</type>", self.kind));
        children.extend(Some(self.dots.clone()).filter(|dots| !dots.is_empty()));
        children.extend(sign.map(|sign| format!("<accidental>{sign}</accidental>")));
        children.extend(self.tuplet.clone());
        children.extend(staff.map(str::to_owned));
        children.extend(self.beams.iter().map(|(.., beam)| beam.clone()));
        let tied = note.tied_to.then(|| "<tied type=\"start\"/>".to_owned());
        let bracket = self.bracket.as_ref().map(|(_, tuplet)| tuplet.clone());
        let notations: Vec<String> = tied.into_iter().chain(bracket).collect();
        if !notations.is_empty() {
            children.push(inner.element("notations", "notations", &notations));
        }
        layout.element("note", "note", &children)
    }
}

fn pitch(layout: &Layout, WrittenPitch(pitch): WrittenPitch) -> String {
    let mut children = vec![format!("<step>{}</step>", pitch.letter.as_char())];
    if pitch.alteration != Alteration::NATURAL {
        children.push(format!("<alter>{}</alter>", pitch.alteration.0));
    }
    children.push(format!("<octave>{}</octave>", pitch.octave));
    layout.element("pitch", "pitch", &children)
}

/// One sign for many bars of rest ends before the small notes.
fn shorter_rest(
    source: &Source<'_>,
    part: &Part,
    first: usize,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let silent = |bar: &&Bar| !bar.holds(score::Kinds::NOTES);
    let before = part.bars.iter().enumerate().take(first + 1).rev();
    for (index, bar) in before.take_while(|(index, bar)| *index == first || silent(bar)) {
        let page = bar.runs.first().and_then(|run| source.measure(run.base));
        let Some(page) = page.filter(|page| page.tree.text().contains("<multiple-rest")) else {
            continue;
        };
        let mut elements = page.tree.elements();
        let Some(sign) = elements.find(|element| element.name() == "multiple-rest") else {
            return Ok(Vec::new());
        };
        let bars = sign.number::<usize>().unwrap_or(1);
        if index + bars <= first {
            return Ok(Vec::new());
        }
        return Ok(match first - index {
            left @ 2.. => vec![replace(page.place(sign.inner()), left.to_string())],
            _ => {
                let style = sign
                    .parent()
                    .filter(|style| style.name() == "measure-style");
                let alone = style.and_then(Element::parent).filter(|attributes| {
                    attributes.name() == "attributes" && attributes.children().count() == 1
                });
                let whole = alone.or(style).unwrap_or(sign);
                vec![take_out(&page, whole, whole)]
            }
        });
    }
    Ok(Vec::new())
}
