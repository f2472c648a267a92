//! Reading Humdrum: records to score, a piece at a time, doing again only what edits have touched.

mod barline;
mod data;
mod dynamics;
mod measure;
mod measures;
mod memory;
mod part;
mod piece;
mod segments;
mod signs;
mod slips;

use std::sync::Arc;

use score::bounds::{MOST_BARS, MOST_PIECES, is_full};
use score::{Lost, PlacedPiece, Score, Span};

use memory::Known;
pub(crate) use memory::Memory;

/// Reads a whole document; pieces that no edit has touched are not read again, nor known measures of those it has.
pub(crate) fn read(text: &str, memory: &mut Memory) -> Score {
    let mut score = Score::default();
    let mut pieces = Vec::new();
    let mut bars = 0;
    for span in segments::cut(text) {
        if is_full(bars, score.pieces.len()) {
            score.unreadable.push(slips::slip(
                Span::new(span.start, text.len()),
                format!("this file has more than {MOST_BARS} bars or {MOST_PIECES} pieces, and is read no further"),
                "a file for each piece",
                Lost::Notes,
            ));
            break;
        }
        let known = memory.unchanged(span).unwrap_or_else(|| {
            let measures = memory.measures_near(span);
            let read = piece::read(&text[span.range()], &measures);
            Known::new(span, read)
        });
        bars += known.piece.bar_count();
        score.pieces.push(PlacedPiece {
            base: span.start,
            piece: Arc::clone(&known.piece),
        });
        pieces.push(known);
    }
    memory.replace(pieces);
    score
}
