//! `textDocument/selectionRange`: from the note outward to bar, line, tune.

use score::Span;
use tower_lsp::lsp_types::{Position, Range, SelectionRange};

use crate::view::View;

/// For each position the ranges around it, each within the next.
pub(crate) fn ranges(view: &View, positions: &[Position]) -> Vec<SelectionRange> {
    positions
        .iter()
        .map(|position| around(view, *position))
        .collect()
}

fn around(view: &View, position: Position) -> SelectionRange {
    let byte = view.byte(position);
    let mut spans: Vec<Span> = Vec::new();
    let mut node = view
        .judged
        .document()
        .tree()
        .and_then(|tree| tree.root_node().descendant_for_byte_range(byte, byte));
    while let Some(inner) = node {
        let span = Span::from(inner.byte_range());
        if spans.last() != Some(&span) {
            spans.push(span);
        }
        node = inner.parent();
    }
    let here = Range::new(position, position);
    spans
        .into_iter()
        .rev()
        .fold(None, |parent: Option<Box<SelectionRange>>, span| {
            Some(Box::new(SelectionRange {
                range: view.range(span),
                parent,
            }))
        })
        .map_or(
            SelectionRange {
                range: here,
                parent: None,
            },
            |inner| *inner,
        )
}
