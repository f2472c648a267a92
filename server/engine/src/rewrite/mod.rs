//! Parts written for another crook, or at concert pitch, with the sound proven unchanged.

mod said;
mod ways;

use horn::WrittenFor;
use reading::{HornPart, HornSaid, PieceReading};
use rules::{Fix, Safety};
use score::{Intent, Part, PartRef, Way};
use theory::PagePitch;

use crate::guard::{Refused, refused};
use crate::judged::Judged;
use crate::proven::Proven;

/// A horn part of a document.
#[derive(Debug, Clone, Copy)]
pub struct HornOf<'a> {
    /// Its piece's place in the document.
    pub piece: usize,
    /// Where that begins, in bytes.
    pub base: usize,
    /// The piece as it is read.
    pub reading: &'a PieceReading,
    /// The part, one of the piece's.
    pub horn: &'a HornPart,
}

impl<'a> HornOf<'a> {
    /// All horn parts of a document, in the order of its pieces and parts.
    pub fn all(judged: &'a Judged) -> impl Iterator<Item = Self> {
        let pieces = judged.pieces().enumerate();
        pieces.flat_map(|(piece, (base, reading))| {
            reading.horns.iter().map(move |horn| Self {
                piece,
                base,
                reading,
                horn,
            })
        })
    }
}

impl Judged {
    /// Horn parts of it written for another crook, or at concert pitch; those that are written so already stay.
    ///
    /// Fails when all of them are, when the notation cannot say it, or when something would sound otherwise.
    pub fn rewrite(&self, parts: &[HornOf<'_>], target: WrittenFor) -> Result<Proven, Refused> {
        let others: Vec<&HornOf<'_>> = parts
            .iter()
            .filter(|part| !is_written_for(part.horn, target))
            .collect();
        if others.is_empty() {
            let are = match parts {
                [_] => "the part is",
                _ => "the parts are",
            };
            return Err(refused(format!(
                "{are} written {} already",
                target.phrase()
            )));
        }
        let written = |ways: fn(&Part, &HornPart, WrittenFor) -> Vec<Way>| {
            let fix = Fix {
                title: format!("Write {}", target.phrase()),
                safety: Safety::Safe,
                intents: others
                    .iter()
                    .flat_map(|part| intents(part, target, ways))
                    .collect(),
            };
            self.prove(&[&fix])
        };
        // Not every notation can record the interval that reads easiest.
        let easiest = written(ways::easiest);
        let outcome = easiest.or_else(|why| written(ways::plain).map_err(|_| why));
        outcome.map_err(|why| {
            let told = |part: &&&HornOf<'_>| {
                let said = part.horn.seat.said;
                matches!(said, HornSaid::Directive | HornSaid::Settings)
            };
            match others.iter().find(told) {
                Some(part) => explained(part.horn, &why),
                None => why,
            }
        })
    }
}

/// Whether a part is for this horn from beginning to end.
#[must_use]
pub fn is_written_for(horn: &HornPart, target: WrittenFor) -> bool {
    match horn.seat.pitch {
        PagePitch::Sounding => target == WrittenFor::ConcertPitch,
        PagePitch::Written => {
            horn.crook_changes.is_empty() && horn.crook.crook == Some(target.crook())
        }
    }
}

/// Words outside the music go on saying what they said of the part.
fn explained(horn: &HornPart, why: &Refused) -> Refused {
    let place = match horn.seat.said {
        HornSaid::Settings => "the settings say",
        _ => "a comment says",
    };
    refused(format!(
        "{why}; {place} what {} is, and would have to be changed as well",
        horn.label
    ))
}

/// The intents for one part.
fn intents(
    part: &HornOf<'_>,
    target: WrittenFor,
    ways: fn(&Part, &HornPart, WrittenFor) -> Vec<Way>,
) -> Vec<Intent> {
    let horn = part.horn;
    let seat = PartRef {
        piece: part.piece,
        part: horn.seat.part,
    };
    let Some(written) = part.reading.piece.parts.get(horn.seat.part) else {
        return Vec::new();
    };
    let ways = ways(written, horn, target);
    let mut intents = vec![
        Intent::SetHorn {
            part: seat,
            name: said::name(written, target),
            transposition: ways::recorded(written, horn, &ways, target),
        },
        Intent::DropLaterTranspositions { part: seat },
        Intent::RewritePart { part: seat, ways },
    ];
    intents.extend(said::other_names(written, seat, part.base, target));
    intents.extend(said::changes(written, part.base));
    intents
}
