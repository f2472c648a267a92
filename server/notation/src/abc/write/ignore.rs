//! Comments that tell this tool to keep silent about a rule, at a place or in the whole file.

use score::Span;

use super::find::{children, enclosing};
use super::{Source, cannot, insert, lines, replace};
use crate::edit::{CannotWrite, TextEdit};
use crate::writing::ignored;

/// A comment above the line of a place, or one more name in the comment that stands there.
pub(super) fn here(
    source: &Source<'_>,
    at: Span,
    rule: &str,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let text = source.text;
    let line = lines::start(text, at.start);
    let added = ignored::add(source.score, rule, |span, directive| {
        let is_above = || lines::next(text, span.start) == line && span.start < line;
        directive.is_of_place() && directive.own_line && is_above()
    });
    if let Some(edits) = added {
        return Ok(edits);
    }
    let root = source.tree.root_node();
    if children(root)
        .iter()
        .any(|node| node.kind() == "version_line" && node.start_byte() == line)
    {
        return cannot("nothing may stand above the version line");
    }
    let inside_block = root
        .descendant_for_byte_range(line, line)
        .and_then(|node| {
            if node.kind() == "directive_block" {
                Some(node)
            } else {
                enclosing(node, "directive_block")
            }
        })
        .is_some_and(|block| block.start_byte() < line && line < block.end_byte());
    if inside_block {
        return cannot("a comment inside a block of text would become part of the text");
    }
    let end = lines::line_break(text, line);
    Ok(vec![insert(
        line,
        format!("% bellhand: ignore {rule}{end}"),
    )])
}

/// A comment at the top of the file, or one more name in the comment that is there.
pub(super) fn in_file(source: &Source<'_>, rule: &str) -> Result<Vec<TextEdit>, CannotWrite> {
    if let Some(edits) = ignored::add_in_file(source.score, rule) {
        return Ok(edits);
    }
    let text = source.text;
    let version = children(source.tree.root_node())
        .into_iter()
        .find(|node| node.kind() == "version_line");
    let comment = format!("% bellhand: ignore in file {rule}");
    let end = lines::line_break(text, 0);
    let Some(version) = version else {
        return Ok(vec![insert(0, format!("{comment}{end}"))]);
    };
    let at = lines::next(text, version.start_byte());
    if at == lines::end(text, version.start_byte()) {
        return Ok(vec![insert(at, format!("{end}{comment}"))]);
    }
    Ok(vec![insert(at, format!("{comment}{end}"))])
}

/// The instruction without some names; without the last, the comment goes, and its line where it has one to itself.
pub(super) fn without(
    source: &Source<'_>,
    at: Span,
    rules: &[String],
) -> Result<Vec<TextEdit>, CannotWrite> {
    let text = source.text;
    ignored::without(source.score, at, rules, |directive| {
        let gone = if directive.own_line {
            Span::new(lines::start(text, at.start), lines::next(text, at.start))
        } else {
            let root = source.tree.root_node();
            let here = root.descendant_for_byte_range(at.start, at.end);
            let comment = here.filter(|node| node.kind() == "comment");
            let comment = comment.or_else(|| enclosing(here?, "comment"));
            let Some(comment) = comment else {
                return cannot("no comment stands there");
            };
            let before = text[..comment.start_byte()].trim_end_matches([' ', '\t']);
            Span::new(before.len(), lines::end(text, at.start))
        };
        Ok(replace(gone, ""))
    })
}
