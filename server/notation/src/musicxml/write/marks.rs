//! Putting marks on notes, writing others in their place, and taking them out.

use score::{NewMark, Span};

use super::page::{Page, Source};
use super::shape::{Layout, add_child, escaped, take_out};
use super::{cannot, insert, notes, replace as edit};
use crate::edit::{CannotWrite, TextEdit};
use crate::musicxml::tree::Element;

/// What comes after a note's notations (MusicXML 4.0, `note`).
const AFTER_NOTATIONS: [&str; 3] = ["lyric", "play", "listen"];

/// What holds marks and goes with the last of them.
const HOLDERS: [&str; 5] = [
    "technical",
    "articulations",
    "ornaments",
    "notations",
    "direction-type",
];

/// A sign stands in the note's notations, words in a direction right before the note or the chord it is in, or before a
/// rest.
pub(super) fn add(
    source: &Source<'_>,
    note: Span,
    mark: &NewMark,
) -> Result<Vec<TextEdit>, CannotWrite> {
    if matches!(mark, NewMark::Dynamic(_)) {
        return cannot("a dynamic is only written in another's place");
    }
    if let (NewMark::Words(words), Some((run, layer))) = (mark, notes::rest_at(source, note)) {
        let page = source.measure(run);
        let rest = page.as_ref().and_then(|page| Some((page, page.at(note)?)));
        return match rest {
            Some((page, rest)) => Ok(vec![direction(page, rest, layer, words)]),
            None => cannot("there is no rest at that place"),
        };
    }
    let found = notes::named(source, &[note])?;
    let named = found.iter().flat_map(|(_, notes)| notes).next();
    let Some(page) = named.and_then(|note| source.measure(note.run)) else {
        return cannot("there is no note at that place");
    };
    let Some(element) = named.and_then(|note| page.at(note.span)) else {
        return cannot("there is no note at that place");
    };
    let layer = named.map_or(0, |note| note.note.layer);
    Ok(vec![put(&page, leader(element), layer, mark)])
}

/// The first note of the chord that a note is in.
fn leader(note: Element<'_>) -> Element<'_> {
    let mut at = note;
    while at.child("chord").is_some() {
        match at.before() {
            Some(before) => at = before,
            None => break,
        }
    }
    if at.name() == "note" { at } else { note }
}

fn put(page: &Page<'_>, note: Element<'_>, layer: u8, mark: &NewMark) -> TextEdit {
    let sign = match mark {
        NewMark::Plus => "<stopped/>",
        NewMark::Circle => "<open/>",
        NewMark::Words(words) | NewMark::Dynamic(words) => {
            return direction(page, note, layer, words);
        }
    };
    let notations = note
        .named("notations")
        .filter(|notations| !notations.is_one_tag())
        .last();
    let technical = notations
        .and_then(|notations| notations.child("technical"))
        .filter(|technical| !technical.is_one_tag());
    if let Some(technical) = technical {
        return add_child(page, technical, &[], sign);
    }
    if let Some(notations) = notations {
        let layout = Layout::inside(page, notations);
        let text = layout.element("technical", "technical", &[sign.to_owned()]);
        return add_child(page, notations, &[], &text);
    }
    let layout = Layout::inside(page, note);
    let technical = layout
        .deeper()
        .element("technical", "technical", &[sign.to_owned()]);
    let text = layout.element("notations", "notations", &[technical]);
    add_child(page, note, &AFTER_NOTATIONS, &text)
}

/// Words in a direction of their own before a note.
fn direction(page: &Page<'_>, note: Element<'_>, layer: u8, words: &str) -> TextEdit {
    let layout = Layout::of(page, note);
    let inner = layout.deeper();
    let words = format!("<words>{}</words>", escaped(words));
    let mut children = vec![inner.element("direction-type", "direction-type", &[words])];
    for (name, wanted) in [("voice", layer > 0), ("staff", true)] {
        if let Some(child) = note.child(name).filter(|_| wanted) {
            let text = page.tree.text();
            children.push(text[child.span().range()].to_owned());
        }
    }
    let text = layout.element("direction placement=\"above\"", "direction", &children);
    insert(
        page.base + note.span().start,
        format!("{text}{}", layout.line()),
    )
}

/// The new mark takes the whole place of the old one.
pub(super) fn replace(
    source: &Source<'_>,
    mark: Span,
    with: &NewMark,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let page = page(source, mark)?;
    let found = elements(&page, mark);
    let (Some(first), Some(last)) = (found.first().copied(), found.last().copied()) else {
        return cannot("there is no mark at that place");
    };
    if let NewMark::Dynamic(letters) = with {
        // Signs beside other words, or several at once, are more than a degree.
        let mut signs = first.children();
        return match (first.name(), signs.next(), signs.next()) {
            ("dynamics", Some(sign), None) if sign.name() != "other-dynamics" => {
                let text = format!("<{letters}/>");
                Ok(vec![edit(page.place(sign.span()), text)])
            }
            _ => cannot("the mark is no dynamic of one sign"),
        };
    }
    let in_words = matches!(first.name(), "words" | "symbol");
    let words = match with {
        NewMark::Plus => "+",
        NewMark::Circle => "o",
        NewMark::Words(words) | NewMark::Dynamic(words) => words.as_str(),
    };
    if first.name() == "words" {
        let span = first.inner().joined(last.inner());
        let same = first == last && first.words() == words;
        let text = escaped(words);
        return Ok(if same {
            Vec::new()
        } else {
            vec![edit(page.place(span), text)]
        });
    }
    if in_words {
        let text = format!("<words>{}</words>", escaped(words));
        return Ok(vec![edit(page.place(first.span()), text)]);
    }
    let name = match with {
        NewMark::Plus => "stopped",
        NewMark::Circle => "open",
        NewMark::Words(words) | NewMark::Dynamic(words) => {
            return for_words(&page, first, words);
        }
    };
    if first.name() == name {
        return Ok(Vec::new());
    }
    if first
        .parent()
        .is_none_or(|parent| parent.name() != "technical")
    {
        return cannot("that mark is no playing sign");
    }
    let place = first
        .attribute("placement")
        .map(|place| format!(" placement=\"{place}\""))
        .unwrap_or_default();
    let text = format!("<{name}{place}/>");
    Ok(vec![edit(page.place(first.span()), text)])
}

/// A sign at a note goes and words before the note come.
fn for_words(
    page: &Page<'_>,
    sign: Element<'_>,
    words: &str,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let note = std::iter::successors(Some(sign), |element| element.parent())
        .find(|element| element.name() == "note");
    let Some(note) = note else {
        return cannot("the mark stands at no note");
    };
    let mut edits = taken_out(page, vec![sign])?;
    edits.push(direction(page, leader(note), 0, words));
    Ok(edits)
}

/// The mark goes, and with it what held nothing else.
pub(super) fn remove(source: &Source<'_>, mark: Span) -> Result<Vec<TextEdit>, CannotWrite> {
    let page = page(source, mark)?;
    let found = elements(&page, mark);
    if found.is_empty() {
        return cannot("there is no mark at that place");
    }
    taken_out(&page, found)
}

fn taken_out(page: &Page<'_>, found: Vec<Element<'_>>) -> Result<Vec<TextEdit>, CannotWrite> {
    let mut going = found;
    loop {
        let (Some(first), Some(last)) = (going.first().copied(), going.last().copied()) else {
            return cannot("there is no mark at that place");
        };
        let parent = first.parent();
        let alone = |parent: Element<'_>| parent.children().all(|child| going.contains(&child));
        match parent {
            Some(holder) if HOLDERS.contains(&holder.name()) && alone(holder) => {
                going = vec![holder];
            }
            Some(direction) if direction.name() == "direction" => {
                let others = direction.named("direction-type");
                if others.filter(|other| !going.contains(other)).count() == 0 {
                    return whole_direction(page, direction);
                }
                return Ok(vec![take_out(page, first, last)]);
            }
            _ => return Ok(vec![take_out(page, first, last)]),
        }
    }
}

/// A direction goes; what its sound says beyond a mute stays.
fn whole_direction(page: &Page<'_>, direction: Element<'_>) -> Result<Vec<TextEdit>, CannotWrite> {
    let text = page.tree.text();
    let sound = direction.child("sound").filter(|sound| {
        let attributes = text[sound.open().range()].contains('=');
        attributes || sound.children().any(|child| child.name() != "play")
    });
    let Some(sound) = sound else {
        return Ok(vec![take_out(page, direction, direction)]);
    };
    if direction.child("offset").is_some() {
        return cannot("playback hangs on the mark, at another place than its own");
    }
    let (whole, kept) = (direction.span(), sound.span());
    Ok(vec![
        edit(page.place(Span::new(whole.start, kept.start)), ""),
        edit(page.place(Span::new(kept.end, whole.end)), ""),
    ])
}

fn page<'a>(source: &Source<'a>, mark: Span) -> Result<Page<'a>, CannotWrite> {
    match source.around(mark.start) {
        Some(page) => Ok(page),
        None => cannot("there is no mark at that place"),
    }
}

/// The elements that a mark's span covers: one, or words with others right after them.
fn elements<'p>(page: &'p Page<'_>, mark: Span) -> Vec<Element<'p>> {
    const MARKS: [&str; 6] = [
        "technical",
        "articulations",
        "ornaments",
        "notations",
        "direction-type",
        "direction",
    ];
    let span = mark.relative_to(page.base);
    let first = page
        .tree
        .starting(span.start)
        .filter(|first| first.parent().is_some_and(|p| MARKS.contains(&p.name())));
    let all: Vec<Element<'p>> = std::iter::successors(first, |element| element.next())
        .take_while(|element| element.span().end <= span.end)
        .collect();
    match all.last() {
        Some(last) if last.span().end == span.end => all,
        _ => Vec::new(),
    }
}
