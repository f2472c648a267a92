//! The order in which the bars of a page are played: repeats, endings, ways back and sections played out.

mod instructions;
mod unfold;

use std::ops::Range;

use crate::piece::{Part, Piece};
use crate::span::Span;

/// The bars of a part in the order in which they are played.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Performance {
    /// Stretches of the page, by the places of their bars in the part, in the order played.
    pub turns: Vec<Range<usize>>,
    /// Why the order could not be decided, if so; the bars are then played once, as they stand.
    pub undecided: Option<Undecided>,
}

/// Why it is not known in which order a piece is played.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Undecided {
    /// What asks for it.
    pub span: Span,
    /// What is wrong, in words that can follow "here".
    pub problem: String,
    /// What was expected instead, with an example.
    pub expected: &'static str,
}

impl Performance {
    /// How the parts of a piece are played that have so many bars. What a score says of the order holds for all its parts,
    /// as scores often print it once: of ways back and labels each, the first part counts that has any, and of repeats
    /// what half of the parts say, or else the first.
    #[must_use]
    pub fn of(piece: &Piece, bars: usize) -> Self {
        let parts: Vec<&Part> = piece
            .parts
            .iter()
            .filter(|part| part.bars.len() == bars)
            .collect();
        let weights: Vec<usize> = (0..bars).map(|bar| weight(&parts, bar)).collect();
        match unfold::unfold(&weights, &instructions::of(&parts), piece.order.as_ref()) {
            Ok(turns) => Self {
                turns,
                undecided: None,
            },
            Err(undecided) => Self {
                turns: Some(0..bars).into_iter().collect(),
                undecided: Some(undecided),
            },
        }
    }
}

/// How much there is to play in a bar of the fullest of some parts, in events.
fn weight(parts: &[&Part], bar: usize) -> usize {
    let bars = parts.iter().filter_map(|part| part.bars.get(bar));
    let events = bars.map(|bar| bar.runs.iter().map(|run| run.body.events.len()).sum());
    events.max().unwrap_or(0).max(1)
}
