//! The guard: a fix is read again and proven before anybody sees it.

mod allowance;
mod cues;
mod page;
mod played;
mod refused;

use std::sync::Arc;

use notation::Document;
use reading::{PieceReading, ToTheEnd};
use rules::Fix;
use score::{Part, PartRef, Score};

pub use refused::Refused;
pub(crate) use refused::refused;

use crate::judged::{Judged, same_casting};
use crate::judging::{self, ReadPiece};
use allowance::Allowance;

/// Proves that `after` is `before` but for exactly what the fixes name: everything on the page of every part, and for
/// horns how each note sounds and is played. Where all fixes are safe, nothing is played otherwise at all.
///
/// Gives back how the pieces of `after` are read.
pub(crate) fn prove(
    before: &Judged,
    after: &Document,
    fixes: &[&Fix],
) -> Result<Vec<ReadPiece>, Refused> {
    let (old, new) = (before.document().score(), after.score());
    if old.pieces.len() != new.pieces.len() {
        return Err(Refused::Pieces);
    }
    if broken(new) > broken(old) {
        return Err(Refused::Unreadable);
    }
    let allowed = Allowance::of(fixes);
    let same_casting = same_casting(old, new);
    let mut readings = Vec::with_capacity(new.pieces.len());
    for (index, (one, other)) in old.pieces.iter().zip(&new.pieces).enumerate() {
        let was = before.reading(index).ok_or(Refused::Pieces)?;
        let same = Arc::ptr_eq(&one.piece, &other.piece);
        if same && same_casting {
            readings.push(ReadPiece {
                reading: Arc::clone(was),
                known: Arc::default(),
            });
            continue;
        }
        if one.piece.parts.len() != other.piece.parts.len() {
            return Err(Refused::Parts);
        }
        let parts = one.piece.parts.iter().zip(&other.piece.parts);
        for (part, (was, is)) in parts.enumerate().filter(|_| !same) {
            let at = PartRef { piece: index, part };
            page::compare(was, is, at, one.base, &allowed)?;
        }
        cues::are_true(was, index, one.base, &allowed)?;
        let settings = before.settings();
        let Ok(is) = judging::read(&other.piece, Some(was), new, settings, &ToTheEnd);
        horns(was, &is.reading, (index, one.base), &allowed)?;
        readings.push(is);
    }
    Ok(readings)
}

/// How much of a score cannot be read.
fn broken(score: &Score) -> usize {
    let pieces = score.pieces.iter();
    score.unreadable.len()
        + pieces
            .map(|placed| placed.piece.unreadable.len())
            .sum::<usize>()
}

fn horns(
    was: &PieceReading,
    is: &PieceReading,
    (piece, base): (usize, usize),
    allowed: &Allowance,
) -> Result<(), Refused> {
    let seats = |reading: &PieceReading| -> Vec<usize> {
        let horns = reading.horns.iter();
        horns.map(|horn| horn.seat.part).collect()
    };
    if seats(was) != seats(is) {
        return Err(Refused::Horns);
    }
    for (one, other) in was.horns.iter().zip(&is.horns) {
        let part = was.piece.parts.get(one.seat.part);
        let acts_from = part.and_then(|part| page::first_mark(part, base, allowed));
        played::compare(one, other, base, allowed, acts_from)?;
        let part = PartRef {
            piece,
            part: one.seat.part,
        };
        if allowed.rewritten.contains(&part) {
            cues::still_show((&was.piece, one), (&is.piece, other))?;
        }
    }
    Ok(())
}

/// What to call a part in a refusal.
fn name(part: &Part) -> String {
    part.name
        .as_ref()
        .map_or_else(|| part.id.clone(), |name| name.text.clone())
}

#[cfg(test)]
mod tests;
