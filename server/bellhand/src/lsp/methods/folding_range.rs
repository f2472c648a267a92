//! `textDocument/foldingRange`: tunes, headers, typeset text.

use score::Span;
use tower_lsp::lsp_types::{FoldingRange, FoldingRangeKind};
use tree_sitter::{Query, QueryCursor, StreamingIterator as _};

use crate::lsp::view::View;

/// What can be folded.
pub(in crate::lsp) fn ranges(view: &View) -> Vec<FoldingRange> {
    let Some(tree) = view.document.tree() else {
        return Vec::new();
    };
    let Ok(query) = Query::new(&grammar_abc::LANGUAGE.into(), grammar_abc::FOLDS_QUERY) else {
        return Vec::new();
    };
    let text = view.document.text();
    let mut cursor = QueryCursor::new();
    let mut captures = cursor.captures(&query, tree.root_node(), text.as_bytes());
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
