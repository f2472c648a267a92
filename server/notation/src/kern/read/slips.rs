//! What could not be read, in words.

use score::{Lost, Span, Unreadable};
use theory::Interval;

use super::super::grid::{Record, RecordKind, moves};

/// Something unreadable, in the words of its caller; which part it is in is added by who knows.
pub(super) fn slip(
    span: Span,
    problem: impl Into<String>,
    expected: impl Into<String>,
    lost: Lost,
) -> Unreadable {
    Unreadable {
        span,
        problem: problem.into(),
        expected: expected.into(),
        lost,
        part: None,
    }
}

/// Text short enough for a message.
pub(super) fn shown(text: &str) -> String {
    const LONGEST: usize = 40;
    match text.char_indices().nth(LONGEST) {
        Some((end, _)) => format!("{}…", &text[..end]),
        None => text.to_owned(),
    }
}

/// A record with too few or too many cells.
pub(super) fn columns(record: &Record<'_>, cells: usize) -> Unreadable {
    let columns = record.columns.len();
    let lost = match record.kind {
        RecordKind::Exclusive => Lost::Notes,
        RecordKind::Interpretation if moves(record) => Lost::Notes,
        // Empty cells at the end of a line take nothing from those before them.
        RecordKind::Data => {
            let mut more = record.cells().skip(columns);
            let only_tabs = cells > columns && more.all(|(_, cell)| cell.trim().is_empty());
            if only_tabs {
                Lost::NoNotes
            } else {
                Lost::Notes
            }
        }
        _ => Lost::NoNotes,
    };
    slip(
        record.span(),
        format!("this line has {cells} cells, but {columns} columns run here"),
        "one cell for each column, single tabs between them, `.`, `*` or `!` where there is nothing to say",
        lost,
    )
}

/// A record with a byte that is no text: a file that was damaged, or is none of notes.
pub(super) fn no_text(record: &Record<'_>) -> Option<Unreadable> {
    let at = record.start + record.text.find('\0')?;
    let lost = match record.kind {
        RecordKind::Data | RecordKind::Exclusive => Lost::Notes,
        _ => Lost::NoNotes,
    };
    Some(slip(
        Span::new(at, at + 1),
        "this fits nowhere in a Humdrum text",
        "records of cells between tabs, as in `4c` or `*clefG2`",
        lost,
    ))
}

/// What is wrong with a transposition, if anything.
pub(super) fn transposition(
    cell: &str,
    interval: Option<Interval>,
) -> Option<(String, &'static str)> {
    let expected = "steps and semitones of one interval, as in `*ITrd4c7` for a horn in F";
    match interval {
        None => Some((format!("`{}` is no transposition", shown(cell)), expected)),
        Some(interval) if !interval.is_possible() => Some((
            format!(
                "`{}` contradicts itself: {} steps are never {} semitones",
                shown(cell),
                interval.steps,
                interval.semitones
            ),
            expected,
        )),
        Some(_) => None,
    }
}
