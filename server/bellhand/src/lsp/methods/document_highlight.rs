//! `textDocument/documentHighlight`: all that is played the same way because of one mark.

use score::Span;
use tower_lsp::lsp_types::{DocumentHighlight, DocumentHighlightKind, Position};

use crate::lsp::view::View;

/// The mark that puts the hand or mute where it is at a place, and every note it holds for.
pub(in crate::lsp) fn highlights(view: &View, position: Position) -> Vec<DocumentHighlight> {
    let byte = view.byte(position);
    let Some((base, mark)) = mark_at(view, byte) else {
        return Vec::new();
    };
    let mut found = vec![DocumentHighlight {
        range: view.range(mark.shifted(base)),
        kind: Some(DocumentHighlightKind::WRITE),
    }];
    for (other, _, horn) in view.horns() {
        let notes = horn.notes.iter().filter(|note| {
            let technique = note.technique;
            other == base
                && (technique.hand_mark == Some(mark) || technique.mute_mark == Some(mark))
        });
        found.extend(notes.map(|note| DocumentHighlight {
            range: view.range(note.span.shifted(base)),
            kind: Some(DocumentHighlightKind::READ),
        }));
    }
    found
}

/// The mark a byte stands at, or the one in force at the note it stands at.
fn mark_at(view: &View, byte: usize) -> Option<(usize, Span)> {
    let marks = view.horns().find_map(|(base, _, horn)| {
        horn.marks
            .iter()
            .map(|mark| mark.span)
            .find(|span| span.shifted(base).range().contains(&byte))
            .map(|span| (base, span))
    });
    marks.or_else(|| {
        let (base, _, _, note) = view.note_at(byte)?;
        Some((base, note.technique.mark()?))
    })
}
