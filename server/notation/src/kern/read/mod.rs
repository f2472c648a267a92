//! Reading Humdrum: records to score, a piece at a time, doing again only what edits have touched.

mod barline;
mod data;
mod dynamics;
mod measure;
mod memory;
mod part;
mod piece;
mod segments;
mod signs;
mod slips;

use std::sync::Arc;

use score::{PlacedPiece, Score};

use memory::Known;
pub(crate) use memory::Memory;

/// Reads a whole document; pieces that no edit has touched are not read again, nor known measures of those it has.
pub(crate) fn read(text: &str, memory: &mut Memory) -> Score {
    let mut score = Score::default();
    let mut pieces = Vec::new();
    for span in segments::cut(text) {
        let known = memory.unchanged(span).unwrap_or_else(|| {
            let measures = memory.measures_near(span);
            let read = piece::read(&text[span.range()], &measures);
            Known::new(span, read)
        });
        score.pieces.push(PlacedPiece {
            base: span.start,
            piece: Arc::clone(&known.piece),
        });
        pieces.push(known);
    }
    memory.replace(pieces);
    score
}
