//! The pieces of the last reading, their places kept up to date under edits.

use std::sync::Arc;

use score::{Piece, Span};

/// What the last reading knew.
#[derive(Debug, Clone, Default)]
pub(crate) struct Memory {
    pieces: Vec<Known>,
}

#[derive(Debug, Clone)]
struct Known {
    span: Span,
    /// Whether an edit has touched it since.
    touched: bool,
    piece: Arc<Piece>,
}

impl Memory {
    /// Notes that `old` was replaced by so many bytes.
    pub(crate) fn edited(&mut self, old: Span, new_length: usize) {
        for known in &mut self.pieces {
            if known.span.meets(old) {
                known.touched = true;
                known.span.end = known.span.end.max(old.end) - old.len() + new_length;
                known.span.start = known.span.start.min(old.start);
            } else if known.span.start >= old.end {
                known.span.start = known.span.start - old.len() + new_length;
                known.span.end = known.span.end - old.len() + new_length;
            }
        }
    }

    /// The piece at a place if its text has not changed.
    pub(super) fn unchanged(&self, span: Span) -> Option<Arc<Piece>> {
        self.pieces
            .iter()
            .find(|known| known.span == span && !known.touched)
            .map(|known| Arc::clone(&known.piece))
    }

    /// The piece itself, or the known one when the edits have changed nothing that is read.
    pub(super) fn same(&self, piece: Piece, span: Span) -> Arc<Piece> {
        self.pieces
            .iter()
            .find(|known| known.span.start == span.start && *known.piece == piece)
            .map_or_else(|| Arc::new(piece), |known| Arc::clone(&known.piece))
    }

    /// Remembers these pieces and no others.
    pub(super) fn replace(&mut self, pieces: Vec<(Span, Arc<Piece>)>) {
        self.pieces = pieces
            .into_iter()
            .map(|(span, piece)| Known {
                span,
                touched: false,
                piece,
            })
            .collect();
    }
}
