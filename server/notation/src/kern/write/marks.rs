//! Marks put in, changed and taken out: local comments above a note, and signs within its token.

use horn::Dynamic;
use score::{NewMark, Span};

use super::super::grid::{Record, RecordKind, SpineKind};
use super::super::layout;
use super::find::{Sheet, notes_at};
use super::{Source, cannot, record, replace};
use crate::edit::{CannotWrite, TextEdit};

/// The mark goes into a comment above the note, or, as words, above a rest: into the record that stands there if its cell is free, else a new one.
pub(super) fn add(
    source: &Source<'_>,
    note: Span,
    mark: &NewMark,
) -> Result<Vec<TextEdit>, CannotWrite> {
    if matches!(mark, NewMark::Dynamic(_)) {
        return cannot("a dynamic is only written in another's place");
    }
    let sheet = source.sheet_at(note.start)?;
    let (place, column, (_, cell)) = cell_at(&sheet, note.start)?;
    let data = sheet.grid.records[place].kind == RecordKind::Data;
    let rest = data && cell.contains('r') && matches!(mark, NewMark::Words(_));
    if !rest {
        notes_at(&sheet, source.text, &[note])?;
    }
    Ok(vec![comment(source.text, &sheet, place, column, mark)])
}

fn comment(text: &str, sheet: &Sheet<'_>, place: usize, column: usize, mark: &NewMark) -> TextEdit {
    let cell = format!("!LO:TX:a:t={}", words(mark));
    let records = &sheet.grid.records;
    // Global comments may be instructions that speak of the line right below them.
    let global = |record: &&Record<'_>| record.kind == RecordKind::GlobalComment;
    let place = place - records[..place].iter().rev().take_while(global).count();
    let record = &records[place];
    let columns = &records[place].columns;
    let above = place.checked_sub(1).map(|above| &records[above]);
    let free = above
        .filter(|above| above.kind == RecordKind::LocalComment && above.columns == *columns)
        .and_then(|above| above.cells().nth(column))
        .filter(|(_, cell)| *cell == "!");
    match free {
        Some((span, _)) => replace(span.shifted(sheet.placed.base), cell),
        None => record::above(text, sheet, record, |other| {
            if other == column {
                cell.clone()
            } else {
                "!".to_owned()
            }
        }),
    }
}

fn words(mark: &NewMark) -> String {
    match mark {
        NewMark::Plus => "+".to_owned(),
        NewMark::Circle => "o".to_owned(),
        NewMark::Words(words) | NewMark::Dynamic(words) => layout::escaped(words),
    }
}

/// The words of a comment change; a sign within a token gives way to a comment above it.
pub(super) fn replace_mark(
    source: &Source<'_>,
    mark: Span,
    with: &NewMark,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let sheet = source.sheet_at(mark.start)?;
    let (place, column, (span, cell)) = cell_at(&sheet, mark.start)?;
    let record = &sheet.grid.records[place];
    if let NewMark::Dynamic(letters) = with {
        // In a comment the mark is all of its words, in a spine of dynamics the letters themselves.
        let place = match record.kind {
            RecordKind::LocalComment => {
                layout::words(cell).map(|(_, within)| within.shifted(span.start))
            }
            _ => Some(mark).filter(|_| !in_token(&sheet, record, column)),
        };
        let text = |place: Span| source.text.get(place.range());
        let dynamic = |place: &Span| text(*place).is_some_and(|text| Dynamic::read(text).is_some());
        return match place.filter(dynamic) {
            Some(place) => Ok(vec![replace(place, letters.clone())]),
            None => cannot("the mark is no dynamic and nothing besides"),
        };
    }
    if record.kind == RecordKind::LocalComment {
        let Some((old, within)) = layout::words(cell) else {
            return cannot("there is no mark at that place any more");
        };
        let new = words(with);
        if old == new {
            return Ok(Vec::new());
        }
        return Ok(vec![replace(within.shifted(span.start), new)]);
    }
    if !in_token(&sheet, record, column) {
        return cannot("a dynamic cannot give way to another kind of mark in its spine");
    }
    Ok(vec![
        comment(source.text, &sheet, place, column, with),
        replace(mark, ""),
    ])
}

/// The mark goes, and with a comment its record when no other column says anything there.
pub(super) fn remove(source: &Source<'_>, mark: Span) -> Result<Vec<TextEdit>, CannotWrite> {
    let sheet = source.sheet_at(mark.start)?;
    let (place, column, (span, cell)) = cell_at(&sheet, mark.start)?;
    let record = &sheet.grid.records[place];
    if record.kind == RecordKind::LocalComment {
        let alone = record
            .cells()
            .enumerate()
            .all(|(other, (_, cell))| other == column || cell == "!");
        if !alone {
            return Ok(vec![replace(span, "!")]);
        }
        let start = sheet.placed.base + record.start;
        let end = source.text[start..]
            .find('\n')
            .map_or(source.text.len(), |end| start + end + 1);
        return Ok(vec![replace(Span::new(start, end), "")]);
    }
    if in_token(&sheet, record, column) {
        return Ok(vec![replace(mark, "")]);
    }
    // What is left of a dynamics cell must still be one.
    let before = source.text[span.start..mark.start].trim_end();
    let after = source.text[mark.end..span.end].trim_start();
    let gap = if before.is_empty() || after.is_empty() {
        ""
    } else {
        " "
    };
    let left = format!("{before}{gap}{after}");
    let left = if left.is_empty() {
        ".".to_owned()
    } else {
        left
    };
    Ok(if left == cell {
        Vec::new()
    } else {
        vec![replace(span, left)]
    })
}

/// The record of a byte, the column in it, and the cell with its place in the document.
fn cell_at<'a>(
    sheet: &Sheet<'a>,
    byte: usize,
) -> Result<(usize, usize, (Span, &'a str)), CannotWrite> {
    let place = sheet.record_at(byte)?;
    let record = &sheet.grid.records[place];
    let cell = record
        .cells()
        .map(|(span, cell)| (span.shifted(sheet.placed.base), cell))
        .enumerate()
        .find(|(_, (span, _))| span.touches(byte));
    match cell {
        Some((column, cell)) if record.has_columns() && column < record.columns.len() => {
            Ok((place, column, cell))
        }
        _ => cannot("there is nothing at that place any more"),
    }
}

/// Whether a cell is a note's.
fn in_token(sheet: &Sheet<'_>, record: &Record<'_>, column: usize) -> bool {
    record.kind == RecordKind::Data
        && sheet.grid.spines[record.columns[column].spine].kind == SpineKind::Kern
}
