//! Comments that are addressed to this tool.

use score::{Directive, Span, parse_directive};

/// The instruction in the comment at `span` of a stretch, if it holds one.
pub(super) fn directive(text: &str, span: Span) -> Option<Directive> {
    let comment = text.get(span.range())?;
    let words = comment.strip_prefix("<!--")?.strip_suffix("-->")?;
    let (at, kind) = parse_directive(words)?;
    let before = text.get(..span.start).unwrap_or_default();
    let after = text.get(span.end..).unwrap_or_default();
    let line_before = before.rsplit(['\n', '\r']).next().unwrap_or_default();
    let line_after = after.split(['\n', '\r']).next().unwrap_or_default();
    Some(Directive {
        span: at.shifted(span.start + 4),
        own_line: line_before.trim().is_empty() && line_after.trim().is_empty(),
        kind,
    })
}
