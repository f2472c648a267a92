//! `textDocument/documentHighlight`: all that is played the same way because of one mark, or all places that call one part.

use engine::Mentions;
use tower_lsp::lsp_types::{DocumentHighlight, DocumentHighlightKind, Position};

use super::held;
use crate::view::View;

/// A part wherever it is called; else the mark that puts the hand or mute where it is at a place, every note it holds for,
/// and what takes it back.
pub(crate) fn highlights(view: &View, position: Position) -> Vec<DocumentHighlight> {
    let byte = view.byte(position);
    let highlight = |span, kind| DocumentHighlight {
        range: view.range(span),
        kind: Some(kind),
    };
    if let Some((mentions, _)) = Mentions::at(&view.judged, byte) {
        let places = mentions.places.into_iter();
        return places
            .map(|(span, _)| highlight(span, DocumentHighlightKind::TEXT))
            .collect();
    }
    let Some(held) = held::at(view, byte) else {
        return Vec::new();
    };
    let notes = held.notes.into_iter();
    std::iter::once(highlight(held.mark, DocumentHighlightKind::WRITE))
        .chain(notes.map(|note| highlight(note, DocumentHighlightKind::READ)))
        .chain(
            held.ended_by
                .map(|end| highlight(end, DocumentHighlightKind::WRITE)),
        )
        .collect()
}
