//! How far the stretches of a part move, and which transposition is recorded for them.

use horn::{Crook, WrittenFor};
use reading::{CrookInForce, HornPart};
use score::{EventKind, Part, Way};
use theory::{
    Interval, Key, Quarters, Transposition, accidentals, moved_signature, spellings, turns,
};

/// How far each stretch moves: from the horn that it is written for, or from what sounds, to the one that it is to be for.
pub(super) fn plain(_: &Part, horn: &HornPart, target: WrittenFor) -> Vec<Way> {
    let from_page = |crook: &CrookInForce| horn.on_page(crook).0 + -target.transposition().0;
    let start = Way {
        from: Quarters::ZERO,
        by: from_page(&horn.crook),
    };
    let later = horn.crook_changes.iter().map(|(from, crook, _)| Way {
        from: *from,
        by: from_page(crook),
    });
    std::iter::once(start).chain(later).collect()
}

/// The same, all spelled in the way that needs the fewest accidentals in the part as a whole.
pub(super) fn easiest(part: &Part, horn: &HornPart, target: WrittenFor) -> Vec<Way> {
    let ways = plain(part, horn, target);
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
pub(super) fn recorded(
    part: &Part,
    horn: &HornPart,
    ways: &[Way],
    target: WrittenFor,
) -> Transposition {
    let own = target.transposition();
    let either = part.notes_sound || target == WrittenFor::Crook(Crook::FSharp);
    match ways.first().filter(|_| either) {
        Some(way) => Transposition(horn.on_page(&horn.crook).0 + -way.by),
        None => own,
    }
}
