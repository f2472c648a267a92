//! Comments that tell this tool to keep silent about a rule, at a place or in the whole file.

use score::Span;

use super::super::grid;
use super::record::line_end;
use super::{Source, replace};
use crate::edit::{CannotWrite, TextEdit};
use crate::writing::ignored;

/// A comment above the line of a place, or one more name in the comment that stands there.
pub(super) fn here(source: &Source<'_>, at: Span, rule: &str) -> Vec<TextEdit> {
    let text = source.text;
    let start = at.start.min(text.len());
    let line = text[..start].rfind('\n').map_or(0, |end| end + 1);
    let added = ignored::add(source.score, rule, |span, directive| {
        let next = || text[span.end..].find('\n').map(|end| span.end + end + 1);
        directive.is_of_place() && next() == Some(line)
    });
    added.unwrap_or_else(|| {
        let comment = format!("!! bellhand: ignore {rule}{}", line_end(text, line));
        vec![replace(Span::new(line, line), comment)]
    })
}

/// A comment at the top of the file, or one more name in the comment that is there.
pub(super) fn in_file(source: &Source<'_>, rule: &str) -> Vec<TextEdit> {
    ignored::add_in_file(source.score, rule).unwrap_or_else(|| {
        let end = line_end(source.text, 0);
        let comment = format!("!! bellhand: ignore in file {rule}{end}");
        vec![replace(Span::new(0, 0), comment)]
    })
}

/// The instruction without some names; without the last, the comment goes: a spine's own becomes a null comment, and
/// the line goes where no spine says anything in it.
pub(super) fn without(
    source: &Source<'_>,
    at: Span,
    rules: &[String],
) -> Result<Vec<TextEdit>, CannotWrite> {
    let text = source.text;
    ignored::without(source.score, at, rules, |_| {
        let start = text[..at.start].rfind('\n').map_or(0, |end| end + 1);
        let next = text[at.end..].find('\n');
        let next = next.map_or(text.len(), |end| at.end + end + 1);
        let line = text[start..next].trim_end_matches(['\n', '\r']);
        let mut cells = grid::cells(start, line);
        let own = cells.find(|(span, _)| span.start <= at.start && at.end <= span.end);
        let alone = grid::cells(start, line)
            .all(|(span, cell)| cell == "!" || Some(span) == own.map(|(span, _)| span));
        Ok(match own {
            Some((cell, _)) if !alone => replace(cell, "!"),
            _ => replace(Span::new(start, next), ""),
        })
    })
}
