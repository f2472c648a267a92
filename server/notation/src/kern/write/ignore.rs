//! Comments that tell this tool to keep silent about a rule, at a place or in the whole file.

use score::{Directive, DirectiveKind, Span};

use super::record::line_end;
use super::{Source, replace};
use crate::edit::TextEdit;

/// A comment above the line of a place, or one more name in the comment that stands there.
pub(super) fn here(source: &Source<'_>, at: Span, rule: &str) -> Vec<TextEdit> {
    let text = source.text;
    let start = at.start.min(text.len());
    let line = text[..start].rfind('\n').map_or(0, |end| end + 1);
    let above = directives(source).into_iter().find_map(|(span, kind)| {
        let next = text[span.end..].find('\n').map(|end| span.end + end + 1);
        match kind {
            DirectiveKind::Ignore { rules } if next == Some(line) => Some((span, rules)),
            _ => None,
        }
    });
    match above {
        Some((span, rules)) => merged(text, span, rules, rule),
        None => {
            let comment = format!("!! bellhand: ignore {rule}{}", line_end(text, line));
            vec![replace(Span::new(line, line), comment)]
        }
    }
}

/// A comment at the top of the file, or one more name in the comment that is there.
pub(super) fn in_file(source: &Source<'_>, rule: &str) -> Vec<TextEdit> {
    let there = directives(source)
        .into_iter()
        .find_map(|(span, kind)| match kind {
            DirectiveKind::IgnoreInFile { rules } => Some((span, rules)),
            _ => None,
        });
    match there {
        Some((span, rules)) => merged(source.text, span, rules, rule),
        None => {
            let end = line_end(source.text, 0);
            let comment = format!("!! bellhand: ignore in file {rule}{end}");
            vec![replace(Span::new(0, 0), comment)]
        }
    }
}

/// All instructions to this tool: where their words stand in the document, and what they say.
fn directives<'a>(source: &Source<'a>) -> Vec<(Span, &'a DirectiveKind)> {
    let of_file = source.score.directives.iter().map(|found| (0, found));
    let of_pieces = source.score.pieces.iter().flat_map(|placed| {
        let found = placed.piece.directives.iter();
        found.map(move |found| (placed.base, found))
    });
    let placed = |(base, found): (usize, &'a Directive)| (found.span.shifted(base), &found.kind);
    of_file.chain(of_pieces).map(placed).collect()
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
    let end = span.start + words[..names].trim_end_matches([' ', ',']).len();
    vec![replace(Span::new(end, end), format!(", {rule}"))]
}
