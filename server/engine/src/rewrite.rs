//! Parts written for another crook, or at concert pitch, with the sound proven unchanged.

use horn::{Crook, WrittenFor, renamed};
use notation::{Document, TextEdit};
use reading::{HornPart, HornSaid, PieceReading};
use rules::{Fix, Safety};
use score::{EventKind, Intent, Part, PartRef, Way};
use theory::{
    Interval, Key, Quarters, Transposition, accidentals, moved_signature, spellings, turns,
};

use crate::fix;
use crate::guard::{Refused, refused};
use crate::settings::Settings;

/// A horn part of a document.
#[derive(Debug, Clone, Copy)]
pub struct HornOf<'a> {
    /// Its piece's place in the document.
    pub piece: usize,
    /// The piece as it is read.
    pub reading: &'a PieceReading,
    /// The part, one of the piece's.
    pub horn: &'a HornPart,
}

/// The edits that write horn parts for another crook, or at concert pitch; those that are written so already stay.
///
/// Fails when all of them are, when the notation cannot say it, or when something would sound otherwise.
pub fn rewrite(
    document: &Document,
    settings: &Settings,
    parts: &[HornOf<'_>],
    target: WrittenFor,
) -> Result<Vec<TextEdit>, Refused> {
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
    let fix = Fix {
        title: format!("Write {}", target.phrase()),
        safety: Safety::Safe,
        intents: others
            .iter()
            .flat_map(|part| intents(part, target))
            .collect(),
    };
    fix::edits(document, settings, &fix).map_err(|why| {
        match others.iter().find(|part| {
            matches!(
                part.horn.seat.said,
                HornSaid::Directive | HornSaid::Settings
            )
        }) {
            Some(part) => explained(part.horn, &why),
            None => why,
        }
    })
}

/// Whether a part is for this horn from beginning to end.
#[must_use]
pub fn is_written_for(horn: &HornPart, target: WrittenFor) -> bool {
    horn.crook_changes.is_empty() && horn.crook.crook == Some(target.crook())
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
fn intents(part: &HornOf<'_>, target: WrittenFor) -> Vec<Intent> {
    let horn = part.horn;
    let seat = PartRef {
        piece: part.piece,
        part: horn.seat.part,
    };
    let Some(written) = part.reading.piece.parts.get(horn.seat.part) else {
        return Vec::new();
    };
    let ways = ways(written, horn, target);
    let name = written
        .name
        .as_ref()
        .map_or("Horn", |name| name.text.as_str());
    vec![
        Intent::SetTransposition {
            part: seat,
            transposition: recorded(written, horn, &ways, target),
        },
        Intent::RewritePart { part: seat, ways },
        Intent::NamePart {
            part: seat,
            name: renamed(name, target),
        },
    ]
}

/// How far each stretch moves: from the horn that it is for to the one that it is to be for, all spelled in the way
/// that needs the fewest accidentals in the part as a whole.
fn ways(part: &Part, horn: &HornPart, target: WrittenFor) -> Vec<Way> {
    let from_crook = |transposition: Transposition| transposition.0 + -target.transposition().0;
    let start = Way {
        from: Quarters::ZERO,
        by: from_crook(horn.crook.transposition),
    };
    let later = horn.crook_changes.iter().map(|(from, crook, _)| Way {
        from: *from,
        by: from_crook(crook.transposition),
    });
    let ways: Vec<Way> = std::iter::once(start).chain(later).collect();
    let [as_it_is, low, high] = spellings(Interval::UNISON);
    let spelled = |other: Interval| -> Vec<Way> {
        let way = |way: &Way| Way {
            by: way.by + other,
            ..*way
        };
        ways.iter().map(way).collect()
    };
    [as_it_is, low, high]
        .into_iter()
        .map(spelled)
        .min_by_key(|ways| cost(part, ways))
        .unwrap_or(ways)
}

/// What a part costs its reader once it is moved: a signature costs its signs at every note, a note its accidental.
///
/// Second come notes whose signature turns from sharps to flats, or the other way.
fn cost(part: &Part, ways: &[Way]) -> (u32, u32) {
    let (mut cost, mut turned) = (0, 0);
    let mut ways = ways.iter().peekable();
    let mut by = ways.peek().map(|way| way.by).unwrap_or_default();
    let mut page = part.key.map_or(Key::NONE, |(key, _)| key);
    let moved = |key: &Key, by| {
        if key.is_none() {
            return Some(Key::NONE);
        }
        moved_signature(key, by)
    };
    let mut signature = moved(&page, by);
    for placed in part.events() {
        while let Some(way) = ways.next_if(|way| way.from <= placed.onset) {
            by = way.by;
        }
        match &placed.event.kind {
            EventKind::Key(key) => {
                page = *key;
                signature = moved(&page, by);
            }
            EventKind::Note(note) => {
                let key = signature.unwrap_or(Key::NONE);
                // More than seven signs cannot be written.
                let signs = signature.map_or(Some(14), |key| key.fifths());
                let note = std::iter::once(note.written.0);
                turned += u32::from(turns(&page, &key));
                cost += signs.map_or(0, i32::unsigned_abs) + accidentals(&key, note, by);
            }
            _ => {}
        }
    }
    (cost, turned)
}

/// The transposition to record.
///
/// Where the notes in the file are what sounds, it decides how the page is spelled. Elsewhere it is the crook's own, but
/// that the page of a horn in F sharp may as well be for one in G flat.
fn recorded(part: &Part, horn: &HornPart, ways: &[Way], target: WrittenFor) -> Transposition {
    let own = target.transposition();
    let either = part.notes_sound || target == WrittenFor::Crook(Crook::FSharp);
    match ways.first().filter(|_| either) {
        Some(way) => Transposition(horn.crook.transposition.0 + -way.by),
        None => own,
    }
}
