//! The guard: a fix is read again and proven before anybody sees it.

use std::collections::HashMap;
use std::fmt;
use std::sync::Arc;

use notation::Document;
use reading::{PieceReading, PlayedNote};
use rules::Fix;
use score::{EventKind, Intent, Part, Piece, Span};
use theory::Quarters;

use crate::settings::Settings;

/// Why a fix is not applied.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refused {
    /// In words that can follow "not applied:".
    pub why: String,
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.why)
    }
}

impl std::error::Error for Refused {}

pub(crate) fn refused(why: impl Into<String>) -> Refused {
    Refused { why: why.into() }
}

/// One note as the ear has it.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Heard {
    onset: Quarters,
    length: Quarters,
    midi: i32,
    grace: bool,
}

/// Proves that `after` sounds as `before`, except for exactly the notes that the fixes name.
pub(crate) fn prove(
    before: &Document,
    after: &Document,
    fixes: &[&Fix],
    settings: &Settings,
) -> Result<(), Refused> {
    let (old, new) = (before.score(), after.score());
    if old.pieces.len() != new.pieces.len() {
        return Err(refused("the number of pieces would change"));
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
        return Err(refused("the text would no longer be readable"));
    }
    let moves = moves(fixes);
    for (one, other) in old.pieces.iter().zip(&new.pieces) {
        if Arc::ptr_eq(&one.piece, &other.piece) {
            continue;
        }
        let endurance = settings.house.endurance();
        let read = |piece, directives: &[score::Directive]| {
            reading::read(piece, directives, &settings.casting, &endurance)
        };
        let (was, is) = (
            read(&one.piece, &old.directives),
            read(&other.piece, &new.directives),
        );
        piece(&was, &is, one.base, &moves)?;
    }
    Ok(())
}

/// How far each note named by the fixes is to move: by its span, semitones, or to a written pitch.
fn moves(fixes: &[&Fix]) -> HashMap<Span, Move> {
    let mut moves = HashMap::new();
    for intent in fixes.iter().flat_map(|fix| &fix.intents) {
        match intent {
            Intent::MoveOctaves { notes, octaves } => {
                for note in notes {
                    moves.insert(*note, Move::By(i32::from(*octaves) * 12));
                }
            }
            Intent::MoveNote { note, to } => {
                moves.insert(*note, Move::To(to.midi()));
            }
            _ => {}
        }
    }
    moves
}

#[derive(Debug, Clone, Copy)]
enum Move {
    /// So many semitones.
    By(i32),
    /// To this written pitch, as a MIDI number.
    To(i32),
}

fn piece(
    was: &PieceReading,
    is: &PieceReading,
    base: usize,
    moves: &HashMap<Span, Move>,
) -> Result<(), Refused> {
    if was.piece.parts.len() != is.piece.parts.len() {
        return Err(refused("the number of parts would change"));
    }
    if was.horns.len() != is.horns.len() {
        return Err(refused("another part would be taken for a horn"));
    }
    for (index, (one, other)) in was.piece.parts.iter().zip(&is.piece.parts).enumerate() {
        let horn = was.horns.iter().find(|horn| horn.seat.part == index);
        let horn_now = is.horns.iter().find(|horn| horn.seat.part == index);
        let name = one.name.as_ref().map_or(one.id.as_str(), |name| &name.text);
        match (horn, horn_now) {
            (Some(horn), Some(now)) => horns(&horn.notes, &now.notes, base, moves, name)?,
            _ => same(&written(one), &written(other), name)?,
        }
    }
    bars(&was.piece, &is.piece)
}

/// The bars must stay where they are, whatever stands in them.
fn bars(was: &Piece, is: &Piece) -> Result<(), Refused> {
    let lengths = |piece: &Piece| -> Vec<(u32, Quarters)> {
        piece
            .parts
            .iter()
            .flat_map(|part| part.bars.iter().map(|bar| (bar.number, bar.length)))
            .collect()
    };
    if lengths(was) == lengths(is) {
        Ok(())
    } else {
        Err(refused("bars would change their length"))
    }
}

fn horns(
    was: &[PlayedNote],
    is: &[PlayedNote],
    base: usize,
    moves: &HashMap<Span, Move>,
    name: &str,
) -> Result<(), Refused> {
    if was.len() != is.len() {
        return Err(refused(format!(
            "the number of notes in {name} would change"
        )));
    }
    let meant = with_ties(was, base, moves);
    for ((one, other), meant) in was.iter().zip(is).zip(meant) {
        let wanted = Heard {
            midi: match meant {
                None => one.sounding.midi(),
                Some(Move::By(semitones)) => one.sounding.midi() + semitones,
                Some(Move::To(written)) => one.sounding.midi() + written - one.written.midi(),
            },
            ..heard(one)
        };
        if heard(other) != wanted {
            return Err(refused(format!(
                "{} in bar {} of {name} would sound as {} instead of {}",
                one.written,
                one.number,
                other.sounding,
                theory::Pitch::from_midi(wanted.midi, one.sounding.0.alteration.0 > 0),
            )));
        }
    }
    Ok(())
}

/// What each note is meant to do; a tied note goes with those it is tied to.
fn with_ties(notes: &[PlayedNote], base: usize, moves: &HashMap<Span, Move>) -> Vec<Option<Move>> {
    let mut meant: Vec<Option<Move>> = notes
        .iter()
        .map(|note| moves.get(&note.span.shifted(base)).copied())
        .collect();
    let joined = |a: &PlayedNote, b: &PlayedNote| {
        a.tied_to && b.tied_from && a.layer == b.layer && a.written.midi() == b.written.midi()
    };
    let mut pass = |order: &mut dyn Iterator<Item = usize>, forward: bool| {
        for index in order {
            let reachable = if forward {
                notes[index].tied_to
            } else {
                notes[index].tied_from
            };
            if !reachable {
                continue;
            }
            let partner = if forward {
                (index + 1..notes.len()).find(|&next| joined(&notes[index], &notes[next]))
            } else {
                (0..index)
                    .rev()
                    .find(|&before| joined(&notes[before], &notes[index]))
            };
            if let (Some(partner), Some(value)) = (partner, meant[index]) {
                meant[partner].get_or_insert(value);
            }
        }
    };
    pass(&mut (0..notes.len()), true);
    pass(&mut (0..notes.len()).rev(), false);
    pass(&mut (0..notes.len()), true);
    meant
}

const fn heard(note: &PlayedNote) -> Heard {
    Heard {
        onset: note.onset,
        length: note.length,
        midi: note.sounding.0.midi(),
        grace: note.grace,
    }
}

fn written(part: &Part) -> Vec<Heard> {
    part.events()
        .filter_map(|placed| match &placed.event.kind {
            EventKind::Note(note) => Some(Heard {
                onset: placed.onset,
                length: note.length,
                midi: note.written.midi(),
                grace: note.grace,
            }),
            _ => None,
        })
        .collect()
}

fn same(was: &[Heard], is: &[Heard], name: &str) -> Result<(), Refused> {
    if was == is {
        Ok(())
    } else {
        Err(refused(format!("{name}, which is not meant, would change")))
    }
}
