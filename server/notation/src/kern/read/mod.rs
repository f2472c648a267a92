//! Reading Humdrum: records to score, a piece at a time, doing again only what edits have touched.

mod barline;
mod data;
mod dynamics;
mod memory;
mod part;
mod piece;
mod segments;
mod signs;
mod slips;

use std::sync::Arc;

use score::{PlacedPiece, Score};
use tree_sitter::Tree;

pub(crate) use memory::Memory;

/// Reads a whole document; pieces that no edit has touched are not read again.
pub(crate) fn read(text: &str, tree: &Tree, memory: &mut Memory) -> Score {
    let mut score = Score::default();
    let mut known = Vec::new();
    for span in segments::cut(text) {
        let piece = memory.unchanged(span).unwrap_or_else(|| {
            let piece = piece::read(&text[span.range()], span.start, tree);
            memory.same(piece, span)
        });
        score.pieces.push(PlacedPiece {
            base: span.start,
            piece: Arc::clone(&piece),
        });
        known.push((span, piece));
    }
    memory.replace(known);
    score
}
