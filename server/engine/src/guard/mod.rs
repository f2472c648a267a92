//! The guard: a fix is read again and proven before anybody sees it.

mod allowance;
mod page;
mod played;
mod refused;

use std::sync::Arc;

use notation::Document;
use reading::PieceReading;
use rules::Fix;
use score::{Part, PartRef};

pub use refused::Refused;
pub(crate) use refused::refused;

use crate::settings::Settings;
use allowance::Allowance;

/// Proves that `after` is `before` but for exactly what the fixes name: everything on the page of every part, and for
/// horns how each note sounds and is played. Where all fixes are safe, nothing is played otherwise at all.
pub(crate) fn prove(
    before: &Document,
    after: &Document,
    fixes: &[&Fix],
    settings: &Settings,
) -> Result<(), Refused> {
    let (old, new) = (before.score(), after.score());
    if old.pieces.len() != new.pieces.len() {
        return Err(Refused::Pieces);
    }
    let broken = |score: &score::Score| {
        score.unreadable.len()
            + score
                .pieces
                .iter()
                .map(|placed| placed.piece.unreadable.len())
                .sum::<usize>()
    };
    if broken(new) > broken(old) {
        return Err(Refused::Unreadable);
    }
    let allowed = Allowance::of(fixes);
    for (index, (one, other)) in old.pieces.iter().zip(&new.pieces).enumerate() {
        if Arc::ptr_eq(&one.piece, &other.piece) {
            continue;
        }
        if one.piece.parts.len() != other.piece.parts.len() {
            return Err(Refused::Parts);
        }
        for (place, (was, is)) in one.piece.parts.iter().zip(&other.piece.parts).enumerate() {
            let at = PartRef {
                piece: index,
                part: place,
            };
            page::compare(was, is, at, one.base, &allowed)?;
        }
        let endurance = settings.house.endurance();
        let read = |piece, directives: &[score::Directive]| {
            reading::read(piece, directives, &settings.casting, &endurance)
        };
        let (was, is) = (
            read(&one.piece, &old.directives),
            read(&other.piece, &new.directives),
        );
        horns(&was, &is, one.base, &allowed)?;
    }
    Ok(())
}

fn horns(
    was: &PieceReading,
    is: &PieceReading,
    base: usize,
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
