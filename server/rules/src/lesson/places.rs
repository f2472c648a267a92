//! In which part and bar of the score a finding stands.

use std::collections::HashMap;

use reading::PieceReading;
use score::{PartSelector, Span};

use crate::finding::Finding;

/// Where a finding stands in the score.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct FindingPlace {
    /// The piece, by its place in the document.
    pub piece: usize,
    /// The part, by its place in the piece.
    pub part: Option<usize>,
    /// The bar, by its place in the part.
    pub bar: Option<usize>,
}

/// The parts and bars of a document, to be found by what findings call them.
#[derive(Debug)]
pub struct Places<'a> {
    pieces: &'a [(usize, &'a PieceReading)],
    /// Horn parts by the place of the piece and their names, which several may share.
    parts: HashMap<(usize, &'a str), Vec<usize>>,
    /// Bars by piece, part and number.
    bars: HashMap<(usize, usize, u32), Vec<usize>>,
}

impl<'a> Places<'a> {
    /// The places of the pieces of a document, each with where it begins.
    #[must_use]
    pub fn of(pieces: &'a [(usize, &'a PieceReading)]) -> Self {
        let mut parts: HashMap<_, Vec<usize>> = HashMap::new();
        let mut bars: HashMap<_, Vec<usize>> = HashMap::new();
        for (at, (_, reading)) in pieces.iter().enumerate() {
            for horn in &reading.horns {
                let part = horn.seat.part;
                let named = parts.entry((at, horn.label.as_str())).or_default();
                named.push(part);
                let all = reading.piece.parts.get(part).map(|part| &part.bars);
                for (place, bar) in all.into_iter().flatten().enumerate() {
                    let numbered = bars.entry((at, part, bar.number)).or_default();
                    numbered.push(place);
                }
            }
        }
        Self {
            pieces,
            parts,
            bars,
        }
    }

    /// Where a finding stands, its span counted from the start of the document.
    #[must_use]
    pub fn of_finding(&self, finding: &Finding) -> FindingPlace {
        let start = finding.span.start;
        let before = self.pieces.partition_point(|(base, _)| *base <= start);
        let piece = before.saturating_sub(1);
        let label = finding.part.as_deref();
        let named = label.and_then(|label| self.parts.get(&(piece, label)));
        let named = named.map_or(&[][..], Vec::as_slice);
        let within = |part: usize| {
            let bars = finding.bar.map(|number| (piece, part, number));
            let bars = bars.and_then(|key| self.bars.get(&key));
            let bars = bars.map_or(&[][..], Vec::as_slice);
            let holds = |bar: &&usize| self.bar_holds(piece, part, **bar, finding.span);
            bars.iter()
                .find(holds)
                .copied()
                .ok_or(bars.first().copied())
        };
        let exact = |part: &&usize| match within(**part) {
            Ok(_) => true,
            Err(_) => finding.bar.is_none() && self.head_holds(piece, **part, finding.span),
        };
        let part = named.iter().find(exact).or(named.first()).copied();
        FindingPlace {
            piece,
            part,
            bar: part.and_then(|part| within(part).map_or_else(|first| first, Some)),
        }
    }

    /// The parts of a piece that are meant, by their places.
    #[must_use]
    pub fn selected(&self, piece: usize, selector: &PartSelector) -> Vec<usize> {
        let piece = self.pieces.get(piece);
        piece.map_or_else(Vec::new, |(_, reading)| {
            selector.select(&reading.piece.parts)
        })
    }

    fn bar_holds(&self, piece: usize, part: usize, bar: usize, span: Span) -> bool {
        let found = self.pieces.get(piece).and_then(|(base, reading)| {
            let bar = reading.piece.parts.get(part)?.bars.get(bar)?;
            Some((*base, bar))
        });
        found.is_some_and(|(base, bar)| {
            bar.runs.iter().any(|run| {
                let start = base + run.base;
                (start..=start + run.body.text_length).contains(&span.start)
            })
        })
    }

    fn head_holds(&self, piece: usize, part: usize, span: Span) -> bool {
        let found = self.pieces.get(piece).and_then(|(base, reading)| {
            let part = reading.piece.parts.get(part)?;
            Some((*base, part))
        });
        found.is_some_and(|(base, part)| {
            let name = part.name.as_ref().map(|name| name.span);
            let spans = [Some(part.head), name].into_iter().flatten();
            spans.map(|span| span.shifted(base)).any(|one| one == span)
        })
    }
}
