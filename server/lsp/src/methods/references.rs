//! `textDocument/references`: every place that calls a part; every note that a mark holds for, and what takes it back.

use engine::Mentions;
use score::Span;
use tower_lsp::lsp_types::{Location, Position};

use super::held;
use crate::view::View;

/// All places that refer to what stands at a place; `declared` asks for where that is said itself, too.
pub(crate) fn references(view: &View, position: Position, declared: bool) -> Vec<Location> {
    let byte = view.byte(position);
    let spans: Vec<Span> = match Mentions::at(&view.judged, byte) {
        Some((mentions, _)) => {
            let head = mentions.head;
            let places = mentions.places.into_iter().map(|(span, _)| span);
            places
                .filter(|span| declared || !head.meets(*span))
                .collect()
        }
        None => held::at(view, byte).map_or_else(Vec::new, |held| {
            let mark = declared.then_some(held.mark);
            let rest = held.notes.into_iter().chain(held.ended_by);
            mark.into_iter().chain(rest).collect()
        }),
    };
    let place = |span| Location::new(view.uri.clone(), view.range(span));
    spans.into_iter().map(place).collect()
}
