//! Comments that tell this tool to keep silent about a rule, at a place or in the whole file.

use score::Span;

use super::page::Source;
use super::shape::gap;
use super::{cannot, insert, replace};
use crate::edit::{CannotWrite, TextEdit};
use crate::writing::ignored;

/// A comment above the line of a place, or one more name in the comment that stands there.
pub(super) fn here(
    source: &Source<'_>,
    at: Span,
    rule: &str,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let text = source.text;
    let line = line_start(text, at.start);
    let line_above = line.checked_sub(1).map(|end| line_start(text, end));
    let added = ignored::add(source.score, rule, |span, directive| {
        let is_above = line_above.is_some_and(|start| start <= span.start && span.end <= line);
        directive.is_of_place() && directive.own_line && is_above
    });
    if let Some(edits) = added {
        return Ok(edits);
    }
    let Some(page) = source.around(at.start) else {
        return cannot("a comment cannot stand there");
    };
    let comment = format!("<!-- bellhand: ignore {rule} -->");
    let words = text[line..].len() - text[line..].trim_start_matches([' ', '\t']).len() + line;
    let first = words.checked_sub(page.base);
    let begins = first.is_some_and(|first| {
        page.tree.starting(first).is_some()
            || page
                .tree
                .elements()
                .any(|e| e.inner().end == first && !e.is_one_tag())
    });
    let end = line_break(text, line);
    if begins {
        let indent = &text[line..words];
        return Ok(vec![insert(line, format!("{indent}{comment}{end}"))]);
    }
    // Many elements on one line: the one that is meant gets a line to itself.
    let Some(element) = page.tree.around(at.start - page.base) else {
        return cannot("a comment cannot stand there");
    };
    let span = page.place(element.span());
    Ok(vec![
        insert(span.start, format!("{end}{comment}{end}")),
        insert(span.end, end),
    ])
}

/// A comment before the score begins, or one more name in the comment that is there.
pub(super) fn in_file(source: &Source<'_>, rule: &str) -> Result<Vec<TextEdit>, CannotWrite> {
    if let Some(edits) = ignored::add_in_file(source.score, rule) {
        return Ok(edits);
    }
    let text = source.text;
    let Some((_, root)) = source.outline.root else {
        return cannot("the file is no score");
    };
    let before = gap(text, root.start);
    let end = if before.is_empty() {
        line_break(text, root.start)
    } else {
        before
    };
    let comment = format!("<!-- bellhand: ignore in file {rule} -->{end}");
    Ok(vec![insert(root.start, comment)])
}

/// The instruction without some names; without the last, the comment goes, and its line where it has one to itself.
pub(super) fn without(
    source: &Source<'_>,
    at: Span,
    rules: &[String],
) -> Result<Vec<TextEdit>, CannotWrite> {
    let text = source.text;
    ignored::without(source.score, at, rules, |directive| {
        let opens = text[..at.start].rfind("<!--");
        let ends = text[at.end..].find("-->").map(|end| at.end + end + 3);
        let (Some(mut start), Some(mut end)) = (opens, ends) else {
            return cannot("no comment stands there");
        };
        let blank = [' ', '\t'];
        let before = text[..start].trim_end_matches(blank);
        let after = text[end..].trim_start_matches(blank);
        if directive.own_line {
            start = before.len();
            let line_end = ["\r\n", "\n", "\r"]
                .into_iter()
                .find(|line_end| after.starts_with(line_end));
            end = text.len() - after.len() + line_end.map_or(0, str::len);
        } else if before.ends_with('>') && after.starts_with(['\n', '\r']) {
            start = before.len();
        }
        Ok(replace(Span::new(start, end), ""))
    })
}

/// Where the line that holds a byte begins.
fn line_start(text: &str, byte: usize) -> usize {
    let bytes = text.as_bytes();
    let mut at = byte.min(bytes.len());
    // Between CR and LF one is still on the line that they end.
    if at > 0 && bytes[at - 1] == b'\r' && bytes.get(at) == Some(&b'\n') {
        at -= 1;
    }
    while at > 0 && !matches!(bytes[at - 1], b'\n' | b'\r') {
        at -= 1;
    }
    at
}

/// The line end that the text uses before a line, or anywhere.
fn line_break(text: &str, line: usize) -> &str {
    let before = &text[..line];
    if before.ends_with("\r\n") {
        "\r\n"
    } else if before.ends_with('\r') {
        "\r"
    } else if before.ends_with('\n') || !text.contains("\r\n") {
        "\n"
    } else {
        "\r\n"
    }
}
