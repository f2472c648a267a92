//! `textDocument/definition`: where a part is declared; the mark by which a note is played as it is; what a mark takes back.

use engine::Mentions;
use tower_lsp::lsp_types::{GotoDefinitionResponse, Location, Position};

use super::held;
use crate::view::View;

/// The place to go to from a place; `None` where nothing leads anywhere.
pub(crate) fn definition(view: &View, position: Position) -> Option<GotoDefinitionResponse> {
    let byte = view.byte(position);
    let span = match Mentions::at(&view.judged, byte) {
        Some((mentions, _)) => mentions.head,
        None => match held::taken_back_at(view, byte) {
            Some(ended) => ended,
            None => held::at(view, byte)?.mark,
        },
    };
    let place = Location::new(view.uri.clone(), view.range(span));
    Some(GotoDefinitionResponse::Scalar(place))
}
