//! Comments that are addressed to this tool.

use score::{Directive, parse_directive};
use tree_sitter::Node;

use super::syntax::text_of;

/// The instruction in a comment, if it holds one, placed from `base`.
pub(super) fn directive(node: Node<'_>, text: &str, base: usize) -> Option<Directive> {
    let words = text_of(node, text);
    let signs = words.len() - words.trim_start_matches('%').len();
    let (span, kind) = parse_directive(words.get(signs..)?)?;
    let before = text.get(..node.start_byte()).unwrap_or_default();
    let line = before
        .rfind(['\n', '\r'])
        .map_or(before, |end| &before[end + 1..]);
    Some(Directive {
        span: span.shifted(node.start_byte() + signs - base),
        own_line: line.chars().all(char::is_whitespace),
        kind,
    })
}
