//! A Humdrum text as records and columns, with each column's spine followed through splits, joins, exchanges and ends.

use std::sync::Arc;

use score::Span;

/// The most columns of a record; more than any score has, and those beyond are not read.
pub(super) const MOST_COLUMNS: usize = 512;
/// The most spines that may begin in one piece.
const MOST_SPINES: usize = 4 * MOST_COLUMNS;

/// What kind of data a spine holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum SpineKind {
    /// `**kern`: notes.
    Kern,
    /// `**dynam`: dynamics of the notes to its left.
    Dynam,
    /// Anything else.
    Other,
}

/// A spine from its `**` to its `*-`.
#[derive(Debug, Clone, Hash)]
pub(super) struct Spine {
    pub(super) kind: SpineKind,
    /// The column it begins in, from 1.
    pub(super) column: usize,
    /// The nearest `**kern` spine at or to the left of it, by its place among the spines.
    pub(super) notes: Option<usize>,
}

/// A column of a record.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) struct Column {
    /// Its spine, by its place among the spines.
    pub(super) spine: usize,
    /// The branch of the spine, unlike any other's while it runs.
    pub(super) branch: usize,
}

/// The kinds of record.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum RecordKind {
    /// Nothing at all.
    Blank,
    /// `!!!key: value`.
    Reference,
    /// `!!…`.
    GlobalComment,
    /// `!…` in every column.
    LocalComment,
    /// `**…` in some column.
    Exclusive,
    /// `*…` in every column.
    Interpretation,
    /// `=…` in every column.
    Barline,
    /// Notes and the like.
    Data,
}

/// A line. Spans count from the start of the text that was given.
#[derive(Debug, Clone)]
pub(super) struct Record<'t> {
    pub(super) kind: RecordKind,
    pub(super) start: usize,
    /// The line without its end.
    pub(super) text: &'t str,
    /// The columns it is written in.
    pub(super) columns: Arc<[Column]>,
}

impl<'t> Record<'t> {
    /// The line's place.
    pub(super) const fn span(&self) -> Span {
        Span::new(self.start, self.start + self.text.len())
    }

    /// Its cells and where each stands.
    pub(super) fn cells(&self) -> impl Iterator<Item = (Span, &'t str)> + use<'t> {
        cells(self.start, self.text)
    }

    /// Its cells with their columns; cells beyond the last column are left out.
    pub(super) fn placed(&self) -> impl Iterator<Item = (Column, Span, &'t str)> + use<'_, 't> {
        self.columns
            .iter()
            .zip(self.cells())
            .map(|(column, (span, cell))| (*column, span, cell))
    }

    /// Whether it should have a cell for each column.
    pub(super) const fn has_columns(&self) -> bool {
        !matches!(
            self.kind,
            RecordKind::Blank | RecordKind::Reference | RecordKind::GlobalComment
        )
    }
}

/// The cells of a line that begins at a byte, and where each stands.
pub(super) fn cells(start: usize, line: &str) -> impl Iterator<Item = (Span, &str)> {
    let mut at = start;
    line.split('\t').map(move |cell| {
        let span = Span::new(at, at + cell.len());
        at = span.end + 1;
        (span, cell)
    })
}

/// The records of a text and the spines they are written in.
#[derive(Debug, Clone, Default)]
pub(super) struct Grid<'t> {
    pub(super) records: Vec<Record<'t>>,
    pub(super) spines: Vec<Spine>,
}

/// Cuts a text into lines, with where each begins; a carriage return before a line feed belongs to the line's end.
pub(super) fn lines(text: &str) -> impl Iterator<Item = (usize, &str)> {
    let mut at = 0;
    text.split_inclusive('\n').map(move |line| {
        let start = at;
        at += line.len();
        // Of bytes, since a suffix of a text is looked for by a call for each line, and there are many.
        let end = match line.as_bytes() {
            [.., b'\r', b'\n'] => 2,
            [.., b'\r' | b'\n'] => 1,
            _ => 0,
        };
        (start, line.get(..line.len() - end).unwrap_or(line))
    })
}

/// What kind of record a line is.
pub(super) fn kind(line: &str) -> RecordKind {
    match line.as_bytes() {
        [] => RecordKind::Blank,
        [b'!', b'!', b'!', ..] => RecordKind::Reference,
        [b'!', b'!', ..] => RecordKind::GlobalComment,
        [b'!', ..] => RecordKind::LocalComment,
        [b'*', ..] if line.split('\t').any(|cell| cell.starts_with("**")) => RecordKind::Exclusive,
        [b'*', ..] => RecordKind::Interpretation,
        [b'=', ..] => RecordKind::Barline,
        _ => RecordKind::Data,
    }
}

/// Reads a text's records and follows its spines.
pub(super) fn read(text: &str) -> Grid<'_> {
    let mut spines = Spines::default();
    let records = lines(text)
        .map(|(start, line)| spines.record(start, line))
        .collect();
    Grid {
        records,
        spines: spines.all,
    }
}

/// The spines up to a place in a text.
#[derive(Debug, Clone, Hash, Default)]
pub(super) struct Spines {
    /// All that have begun.
    pub(super) all: Vec<Spine>,
    /// The columns that the next record is written in.
    pub(super) columns: Arc<[Column]>,
}

impl Spines {
    /// The next line as a record, after which the spines stand as it says.
    pub(super) fn record<'t>(&mut self, start: usize, text: &'t str) -> Record<'t> {
        let mut record = Record {
            kind: kind(text),
            start,
            text,
            columns: Arc::clone(&self.columns),
        };
        match record.kind {
            RecordKind::Exclusive => {
                self.columns = opened(&record, &mut self.all).into();
                record.columns = Arc::clone(&self.columns);
            }
            RecordKind::Interpretation => {
                if let Some(moved) = moved(&record) {
                    self.columns = moved.into();
                }
            }
            _ => {}
        }
        record
    }
}

/// The lowest number that no branch has, so that numbers do not tell how many branches there were before.
fn free(before: &[Column], now: &[Column]) -> usize {
    let columns = before.iter().chain(now);
    (0..)
        .find(|branch| columns.clone().all(|column| column.branch != *branch))
        .unwrap_or_default()
}

/// The columns that an exclusive interpretation opens.
fn opened(record: &Record<'_>, spines: &mut Vec<Spine>) -> Vec<Column> {
    let mut notes = None;
    let mut columns = Vec::new();
    for (index, (_, cell)) in record.cells().take(MOST_COLUMNS).enumerate() {
        let known = record.columns.get(index).copied();
        let column = match known {
            Some(column) if !cell.starts_with("**") => column,
            Some(column) if spines.len() >= MOST_SPINES => column,
            None if spines.len() >= MOST_SPINES => break,
            _ => {
                spines.push(Spine {
                    kind: match cell {
                        "**kern" => SpineKind::Kern,
                        "**dynam" => SpineKind::Dynam,
                        _ => SpineKind::Other,
                    },
                    column: index + 1,
                    notes: None,
                });
                Column {
                    spine: spines.len() - 1,
                    branch: free(&record.columns, &columns),
                }
            }
        };
        if spines[column.spine].kind == SpineKind::Kern {
            notes = Some(column.spine);
        }
        if known != Some(column) {
            spines[column.spine].notes = notes;
        }
        columns.push(column);
    }
    columns
}

/// Whether an interpretation record splits, joins, exchanges, begins or ends columns.
pub(super) fn moves(record: &Record<'_>) -> bool {
    const MOVES: [&str; 5] = ["*^", "*v", "*+", "*-", "*x"];
    record.cells().any(|(_, cell)| MOVES.contains(&cell))
}

/// The columns below an interpretation record, when it moves any.
fn moved(record: &Record<'_>) -> Option<Vec<Column>> {
    if !moves(record) {
        return None;
    }
    let mut columns: Vec<Column> = Vec::with_capacity(record.columns.len() + 1);
    // The spine that the cell before joins, and the first of a pair to be exchanged.
    let mut joining = None;
    let mut exchange = None;
    for (column, _, cell) in record.placed() {
        match cell {
            "*v" if joining == Some(column.spine) => continue,
            "*-" => {}
            "*^" | "*+" if record.columns.len() < MOST_COLUMNS && columns.len() < MOST_COLUMNS => {
                let branch = free(&record.columns, &columns);
                columns.push(column);
                columns.push(Column { branch, ..column });
            }
            "*x" => {
                columns.push(column);
                match exchange.take() {
                    None => exchange = Some(columns.len() - 1),
                    Some(first) => {
                        let last = columns.len() - 1;
                        columns.swap(first, last);
                    }
                }
            }
            _ => columns.push(column),
        }
        joining = (cell == "*v").then_some(column.spine);
    }
    Some(columns)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn paths(text: &str) -> Vec<Vec<usize>> {
        read(text)
            .records
            .iter()
            .filter(|record| record.kind == RecordKind::Data)
            .map(|record| record.columns.iter().map(|column| column.spine).collect())
            .collect()
    }

    #[test]
    fn spines_are_followed() {
        let text = "**kern\t**kern\t**dynam\n4c\t4d\tp\n*^\t*\t*\n4c\t4e\t4d\tf\n*v\t*v\t*\t*\n*x\t*x\t*\n4d\t4c\tp\n\
                    *-\t*+\t*\n*\t**text\t*\n4c\tla\tp\n*-\t*-\t*-\n";
        assert_eq!(
            paths(text),
            [
                vec![0, 1, 2],
                vec![0, 0, 1, 2],
                vec![1, 0, 2],
                vec![0, 3, 2]
            ]
        );
        let grid = read(text);
        assert_eq!(grid.spines[2].notes, Some(1));
        assert_eq!(grid.records.last().unwrap().columns.len(), 3);
    }

    #[test]
    fn joins_of_neighbours_stay_apart() {
        let text = "**kern\t**kern\n*^\t*^\n1\t2\t3\t4\n*v\t*v\t*v\t*v\n1\t2\n";
        assert_eq!(paths(text), [vec![0, 0, 1, 1], vec![0, 1]]);
    }

    #[test]
    fn carriage_returns_belong_to_line_ends() {
        let found: Vec<_> = lines("a\r\nb\n\nc").collect();
        assert_eq!(found, [(0, "a"), (3, "b"), (5, ""), (6, "c")]);
        // A lone one at the end as well.
        let found: Vec<_> = lines("\r\nd\r").collect();
        assert_eq!(found, [(0, ""), (2, "d")]);
    }
}
