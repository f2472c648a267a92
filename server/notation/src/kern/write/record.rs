//! Whole records put in: one cell that speaks and null cells for all other columns.

use score::Span;

use super::super::grid::Record;
use super::find::Sheet;
use super::replace;
use crate::edit::TextEdit;

/// The line end that a text uses where a record stands.
pub(super) fn line_end(text: &str, from: usize) -> &'static str {
    let rest = text.get(from..).unwrap_or_default();
    let near = rest
        .find('\n')
        .map(|at| from + at)
        .or_else(|| text.find('\n'));
    match near {
        Some(at) if at > 0 && text.as_bytes()[at - 1] == b'\r' => "\r\n",
        _ => "\n",
    }
}

/// A new record above another, in whose columns it is written; `cell` gives each column's text.
pub(super) fn above(
    text: &str,
    sheet: &Sheet<'_>,
    record: &Record<'_>,
    cell: impl Fn(usize) -> String,
) -> TextEdit {
    let cells: Vec<String> = (0..record.columns.len()).map(cell).collect();
    let at = sheet.placed.base + record.start;
    replace(
        Span::new(at, at),
        format!("{}{}", cells.join("\t"), line_end(text, at)),
    )
}

/// An interpretation above a record for every branch of a spine.
pub(super) fn interpretation(
    text: &str,
    sheet: &Sheet<'_>,
    record: &Record<'_>,
    spine: usize,
    said: &str,
) -> TextEdit {
    above(text, sheet, record, |column| {
        if record.columns[column].spine == spine {
            said.to_owned()
        } else {
            "*".to_owned()
        }
    })
}
