//! What the last reading knew: whole pieces, and within a changed piece its measures.

use std::sync::Arc;

use score::{Piece, Span};

use super::measures::Measures;

/// The pieces of the last reading, their places kept up to date under edits.
#[derive(Debug, Clone, Default)]
pub(crate) struct Memory {
    pieces: Vec<Known>,
}

/// A piece as it was read.
#[derive(Debug, Clone)]
pub(super) struct Known {
    span: Span,
    /// Whether an edit has touched it since.
    touched: bool,
    pub(super) piece: Arc<Piece>,
    measures: Arc<Measures>,
}

impl Known {
    pub(super) fn new(span: Span, (piece, measures): (Piece, Measures)) -> Self {
        Self {
            span,
            touched: false,
            piece: Arc::new(piece),
            measures: Arc::new(measures),
        }
    }
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
    pub(super) fn unchanged(&self, span: Span) -> Option<Known> {
        let at = self
            .pieces
            .partition_point(|known| known.span.start < span.start);
        self.pieces
            .get(at)
            .filter(|known| known.span == span && !known.touched)
            .cloned()
    }

    /// The measures of the piece that stood about here.
    pub(super) fn measures_near(&self, span: Span) -> Arc<Measures> {
        self.pieces
            .iter()
            .filter(|known| known.span.meets(span))
            .max_by_key(|known| known.span.end.min(span.end) - known.span.start.max(span.start))
            .map(|known| Arc::clone(&known.measures))
            .unwrap_or_default()
    }

    /// Remembers these pieces and no others.
    pub(super) fn replace(&mut self, pieces: Vec<Known>) {
        self.pieces = pieces;
    }
}
