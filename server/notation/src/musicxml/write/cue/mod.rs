//! Small notes over a part's rests, in a voice of their own, as the part that plays them has them.

mod clock;
mod many_rests;
pub(super) mod moved;
mod shown;
mod spelling;

use score::{Bar, CueNote, NewCue, Part, PartRef};

use super::page::Source;
use super::shape::{Layout, escaped};
use super::{cannot, insert};
use crate::edit::{CannotWrite, TextEdit};
use crate::musicxml::tree::Element;
use clock::{Clock, TIMED};
use shown::Shown;
use spelling::Spelling;

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
        edits.push(measure(source, (part, bar), own, words, voice)?);
    }
    let Some(first) = first.filter(|_| left.is_empty()) else {
        return cannot("there is no bar in this part for the small notes");
    };
    edits.extend(many_rests::shorter(source, part, first)?);
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

/// Where small notes stand: as what stands before them is laid out, and in which voice and staff.
struct Place {
    layout: Layout,
    voice: String,
    staff: Option<String>,
}

/// The small notes of a measure.
fn measure(
    source: &Source<'_>,
    (part, bar): (&Part, &Bar),
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
    let staff = last.value("staff");
    let place = Place {
        layout: Layout::of(&page, last),
        voice: format!("<voice>{voice}</voice>"),
        staff: staff.map(|staff| format!("<staff>{staff}</staff>")),
    };
    let mut spelling = Spelling::of(part, bar);
    let shown = Shown::of(source, notes)?;
    let mut text = String::new();
    let mut put = |element: String| {
        text.push_str(place.layout.line());
        text.push_str(&element);
    };
    let mut at = clock.at;
    let mut words = words;
    for (note, shown) in notes.iter().zip(&shown.0) {
        let from = clock.count(note.onset - bar.onset)?;
        if let Some(way) = moved(&place.layout, from - at) {
            put(way);
        }
        if let Some(words) = words.take() {
            put(direction(&place, words));
        }
        let length = clock.count(note.length)?;
        put(shown.note(&place, note, length, &mut spelling));
        at = from + length;
    }
    if let Some(way) = moved(&place.layout, clock.at - at) {
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

fn direction(place: &Place, words: &str) -> String {
    let words = format!("<words>{}</words>", escaped(words));
    let inner = place.layout.deeper();
    let mut children = vec![
        inner.element("direction-type", "direction-type", &[words]),
        place.voice.clone(),
    ];
    children.extend(place.staff.clone());
    place
        .layout
        .element("direction placement=\"above\"", "direction", &children)
}
