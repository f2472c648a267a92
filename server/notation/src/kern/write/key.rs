//! Signatures taken out and put in. `*k[…]` stands at the level of the data: no signature on the page of a horn in F is
//! `*k[b-]`.

use score::{Courtesy, PartRef, Span, Way};
use theory::{Interval, Key};

use super::super::interpretation::{self, moved_key, written_key};
use super::find::{Line, Written};
use super::shown::{self, Change};
use super::{Source, record, replace};
use crate::edit::{CannotWrite, TextEdit};

/// Every signature of the parts becomes what prints none.
pub(super) fn drop(
    source: &Source<'_>,
    parts: &[PartRef],
    courtesy: Courtesy,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let mut edits = Vec::new();
    for part in parts {
        let sheet = source.sheet(part.piece)?;
        let line = sheet.line(*part)?;
        let notes = line.notes(source.text);
        let keys = keys(line, &notes);
        let bare = |(said, up): (Key, Interval)| moved_key(&said, up).is_none();
        let moving = crook_changes(&notes, &keys);
        if keys.iter().all(|(_, said, up)| bare((*said, *up))) && moving.is_empty() {
            continue;
        }
        for (span, said, up) in &keys {
            if !bare((*said, *up)) {
                edits.push(replace(*span, written_key(&moved_key(&Key::NONE, -*up))));
            }
        }
        for note in moving {
            let above = sheet.above_comments(sheet.record_at(note.span.start)?);
            let cell = written_key(&moved_key(&Key::NONE, -note.up()));
            edits.push(record::interpretation(
                source.text,
                &sheet,
                above,
                line.spine,
                &cell,
            ));
        }
        let change = Change {
            key: |_: &Written<'_>| Key::NONE,
            courtesy,
            drop_implied: false,
        };
        edits.extend(shown::edits(source.text, &notes, &change));
    }
    Ok(edits)
}

/// The part starts in `key`; later signatures that say what its first one said follow, others stay.
pub(super) fn set(
    source: &Source<'_>,
    part: PartRef,
    key: &Key,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let sheet = source.sheet(part.piece)?;
    let line = sheet.line(part)?;
    let notes = line.notes(source.text);
    let keys = keys(line, &notes);
    let start = line.part.key.map_or(Key::NONE, |(key, _)| key);
    if start == *key && line.part.key.is_some() {
        return Ok(Vec::new());
    }
    let mut edits: Vec<TextEdit> = keys
        .iter()
        .filter(|(_, said, up)| moved_key(said, *up) == start)
        .map(|(span, _, up)| replace(*span, written_key(&moved_key(key, -*up))))
        .collect();
    if line.part.key.is_none() {
        let music = line.first_music()?;
        let cell = written_key(&moved_key(key, -up_at(line, &notes, 0)));
        edits.push(record::interpretation(
            source.text,
            &sheet,
            music,
            line.spine,
            &cell,
        ));
    }
    let change = Change {
        key: |note: &Written<'_>| if note.key == start { *key } else { note.key },
        courtesy: Courtesy::Never,
        drop_implied: true,
    };
    edits.extend(shown::edits(source.text, &notes, &change));
    Ok(edits)
}

/// The signatures for a page another interval away. The data are what sounds, so the notes stay as they are; a
/// signature stays too, unless it prints none: what prints none on the new page is another.
///
/// A part with signatures besides keeps them all: no signature is one of them there.
pub(super) fn moved(
    source: &Source<'_>,
    part: PartRef,
    ways: &[Way],
) -> Result<Vec<TextEdit>, CannotWrite> {
    let sheet = source.sheet(part.piece)?;
    let line = sheet.line(part)?;
    let notes = line.notes(source.text);
    let keys = keys(line, &notes);
    let bare = |(_, said, up): &(Span, Key, Interval)| moved_key(said, *up).is_none();
    if !keys.iter().all(bare) {
        return Ok(Vec::new());
    }
    let by_at = |byte: usize| {
        let next = notes.partition_point(|note| note.span.start < byte);
        let onset = notes
            .get(next)
            .or_else(|| notes.last())
            .map(|note| note.onset);
        let way = ways
            .iter()
            .rev()
            .find(|way| onset.is_some_and(|onset| way.from <= onset));
        way.or_else(|| ways.first())
            .map(|way| way.by)
            .unwrap_or_default()
    };
    Ok(keys
        .into_iter()
        .map(|(span, said, up)| {
            let cell = written_key(&moved_key(&Key::NONE, -(up + by_at(span.start))));
            (span, said, cell)
        })
        .filter(|(span, _, cell)| source.text.get(span.range()) != Some(cell))
        .map(|(span, _, cell)| replace(span, cell))
        .collect())
}

/// The part's signatures: where each stands, what it says, and what leads from there to the page.
fn keys(line: Line<'_, '_>, notes: &[Written<'_>]) -> Vec<(Span, Key, Interval)> {
    line.interpretations()
        .filter_map(|(span, cell)| {
            let key = interpretation::key(cell)?;
            Some((span, key, up_at(line, notes, span.start)))
        })
        .collect()
}

/// What leads from the data to the page from a byte on: as the next note has it, or else the last.
fn up_at(line: Line<'_, '_>, notes: &[Written<'_>], byte: usize) -> Interval {
    let next = notes.partition_point(|note| note.span.start < byte);
    let note = notes.get(next).or_else(|| notes.last());
    let recorded = || line.part.transposition.map(|(recorded, _)| -recorded.0);
    note.map(Written::up).or_else(recorded).unwrap_or_default()
}

/// The first notes after a change of crook that brings another signature with it, as no `*k` stands in between.
fn crook_changes<'n, 'a>(
    notes: &'n [Written<'a>],
    keys: &[(Span, Key, Interval)],
) -> Vec<&'n Written<'a>> {
    let said = |from: usize, to: usize| {
        keys.iter()
            .any(|(span, ..)| from < span.start && span.start < to)
    };
    let mut changes = Vec::new();
    for pair in notes.windows(2) {
        let [before, after] = pair else { continue };
        let any_before = keys.iter().any(|(span, ..)| span.start < after.span.start);
        if before.up().fifths() != after.up().fifths()
            && any_before
            && !said(before.span.start, after.span.start)
            && !after.key.is_none()
        {
            changes.push(after);
        }
    }
    changes
}
