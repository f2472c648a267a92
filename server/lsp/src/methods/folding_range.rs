//! `textDocument/foldingRange`: tunes, headers, typeset text.

use score::Span;
use tower_lsp::lsp_types::{FoldingRange, FoldingRangeKind};
use tree_sitter::{QueryCursor, StreamingIterator as _};

use crate::queries;
use crate::view::View;

/// What can be folded.
pub(crate) fn ranges(view: &View) -> Vec<FoldingRange> {
    let document = view.judged.document();
    let Some((tree, query)) = document.tree().zip(queries::folds(document)) else {
        return Vec::new();
    };
    let text = document.text();
    let mut cursor = QueryCursor::new();
    let mut captures = cursor.captures(query, tree.root_node(), text.as_bytes());
    let mut ranges = Vec::new();
    while let Some((found, index)) = captures.next() {
        let node = found.captures()[*index].node;
        let words = text.get(node.byte_range()).unwrap_or_default();
        let end = node.start_byte() + words.trim_end().len();
        let range = view.range(Span::new(node.start_byte(), end));
        if range.end.line > range.start.line {
            ranges.push(FoldingRange {
                start_line: range.start.line,
                end_line: range.end.line,
                kind: Some(FoldingRangeKind::Region),
                ..FoldingRange::default()
            });
        }
    }
    ranges
}
