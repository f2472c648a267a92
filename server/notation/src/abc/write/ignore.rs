//! Comments that tell this tool to keep silent about a rule, at a place or in the whole file.

use score::{Directive, DirectiveKind, Span};

use super::find::{children, enclosing};
use super::{Source, cannot, insert, lines};
use crate::edit::{CannotWrite, TextEdit};

/// A comment above the line of a place, or one more name in the comment that stands there.
pub(super) fn here(
    source: &Source<'_>,
    at: Span,
    rule: &str,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let text = source.text;
    let line = lines::start(text, at.start);
    let above = directives(source).into_iter().find_map(|directive| {
        let (span, own_line, kind) = directive;
        match kind {
            DirectiveKind::Ignore { rules } if own_line => (lines::next(text, span.start) == line
                && span.start < line)
                .then_some((span, rules)),
            _ => None,
        }
    });
    if let Some((span, rules)) = above {
        return Ok(merged(text, span, rules, rule));
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
    let text = source.text;
    let there = directives(source)
        .into_iter()
        .find_map(|(span, _, kind)| match kind {
            DirectiveKind::IgnoreInFile { rules } => Some((span, rules)),
            _ => None,
        });
    if let Some((span, rules)) = there {
        return Ok(merged(text, span, rules, rule));
    }
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

/// All instructions to this tool: where their words stand in the document, whether alone on a line, and what they say.
fn directives<'a>(source: &Source<'a>) -> Vec<(Span, bool, &'a DirectiveKind)> {
    let placed = |base: usize, directive: &'a Directive| {
        (
            directive.span.shifted(base),
            directive.own_line,
            &directive.kind,
        )
    };
    let of_file = source
        .score
        .directives
        .iter()
        .map(|directive| placed(0, directive));
    let of_pieces = source.score.pieces.iter().flat_map(|piece| {
        let base = piece.base;
        piece
            .piece
            .directives
            .iter()
            .map(move |directive| placed(base, directive))
    });
    of_file.chain(of_pieces).collect()
}

/// One more rule in an instruction's list, before the reason that may follow.
fn merged(text: &str, span: Span, rules: &[String], rule: &str) -> Vec<TextEdit> {
    if rules.iter().any(|known| known == rule) {
        return Vec::new();
    }
    let words = &text[span.range()];
    let head = words.find(':').map_or(0, |colon| colon + 1);
    let names = words[head..]
        .find(':')
        .map_or(words.len(), |colon| head + colon);
    let at = words[..names].trim_end_matches([' ', '\t', ',']).len();
    vec![insert(span.start + at, format!(", {rule}"))]
}
