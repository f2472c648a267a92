//! Places of what holds for long, told by number so that they stay the same when text before them moves.

use score::Span;

/// A place, by its number among all such places of a piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub(super) struct Spot(usize);

/// The places of a piece so far, counted from its start.
#[derive(Debug, Default)]
pub(super) struct Spots(Vec<Span>);

impl Spots {
    /// Numbers a place.
    pub(super) fn note(&mut self, span: Span) -> Spot {
        self.0.push(span);
        Spot(self.0.len() - 1)
    }

    /// Where a numbered place is.
    pub(super) fn place(&self, spot: Spot) -> Span {
        self.0.get(spot.0).copied().unwrap_or_default()
    }

    /// The places after the first so many.
    pub(super) fn since(&self, count: usize) -> &[Span] {
        self.0.get(count..).unwrap_or_default()
    }

    /// How many there are.
    pub(super) const fn count(&self) -> usize {
        self.0.len()
    }
}
