//! A whole part another interval away: the spelling of each stretch, of its signature and of its notes.

use std::collections::HashMap;

use score::{EventKind, Part, Span, Way};
use theory::{
    Interval, Key, Pitch, accidentals, is_white_by_black, moved_signature, spellings, turns,
};

use super::accidentals::Change;
use super::notes::Written;

/// Notes under one signature that move by one interval.
struct Stretch<'a> {
    /// The signature that begins it, and where that stands.
    signature: Option<(Span, Key)>,
    by: Interval,
    notes: Vec<Written<'a>>,
}

/// The change that moves a part of a piece that begins at a byte; each way holds until the next.
///
/// A part without a signature stays without. Where several intervals sound the same, each stretch takes the one that
/// needs the fewest accidentals; double accidentals, and white keys by black keys' names, give way to simple names where
/// no line steps through them.
pub(crate) fn change(part: &Part, piece: usize, ways: &[Way]) -> Change {
    let mut change = Change::nothing();
    change.drop_implied = true;
    let signed = has_signature(part);
    // The signature in force on the new page.
    let mut page = Key::NONE;
    // What a note became, by its line and its old pitch, for those that are tied to it.
    let mut held: HashMap<(u8, Pitch), Pitch> = HashMap::new();
    for stretch in stretches(part, piece, ways, signed) {
        let by = spelling(&stretch, &page, signed);
        if let Some((span, key)) = stretch.signature.filter(|_| signed) {
            page = moved_signature(&key, by).unwrap_or(Key::NONE);
            change.keys.insert(span, page);
        }
        spell(&stretch, by, &page, &mut held, &mut change);
    }
    change
}

/// Whether any signature of the part alters anything: where one does, none is a signature too.
fn has_signature(part: &Part) -> bool {
    let start = part.key.is_some_and(|(key, _)| !key.is_none());
    let later = |placed: score::Placed<'_>| match placed.event.kind {
        EventKind::Key(key) => !key.is_none(),
        _ => false,
    };
    start || part.events().any(later)
}

fn stretches<'a>(part: &'a Part, piece: usize, ways: &[Way], signed: bool) -> Vec<Stretch<'a>> {
    let by_at = |onset| {
        let after = ways.partition_point(|way| way.from <= onset);
        let way = after.checked_sub(1).and_then(|at| ways.get(at));
        way.or_else(|| ways.first())
            .map(|way| way.by)
            .unwrap_or_default()
    };
    let mut stretches = vec![Stretch {
        signature: part.key.map(|(key, span)| (span.shifted(piece), key)),
        by: by_at(theory::Quarters::ZERO),
        notes: Vec::new(),
    }];
    for placed in part.events() {
        let Some(last) = stretches.last_mut() else {
            break;
        };
        let by = by_at(placed.onset);
        match &placed.event.kind {
            EventKind::Key(key) => {
                let span = placed.span().shifted(piece);
                if last.signature.is_some_and(|(known, _)| known == span) {
                    continue;
                }
                stretches.push(Stretch {
                    signature: Some((span, *key)),
                    by,
                    notes: Vec::new(),
                });
            }
            // Without a signature, each phrase is spelled for itself.
            EventKind::Rest(rest) if rest.whole_bar && !signed && !last.notes.is_empty() => {
                stretches.push(Stretch {
                    signature: None,
                    by,
                    notes: Vec::new(),
                });
            }
            EventKind::Note(_) => {
                let Some(note) = Written::of(&placed, piece) else {
                    continue;
                };
                if last.by == by {
                    last.notes.push(note);
                } else if last.notes.is_empty() {
                    last.by = by;
                    last.notes.push(note);
                } else {
                    stretches.push(Stretch {
                        signature: None,
                        by,
                        notes: vec![note],
                    });
                }
            }
            _ => {}
        }
    }
    stretches
}

/// The interval by which a stretch is easiest to read, on a page whose signature it keeps if it has none of its own.
fn spelling(stretch: &Stretch<'_>, page: &Key, signed: bool) -> Interval {
    let cost = |by: &Interval| {
        let own = stretch.signature.filter(|_| signed);
        let moved = own.map(|(_, key)| moved_signature(&key, *by));
        // A signature that cannot be written is worse than any that can.
        let lost = moved == Some(None);
        let page = moved
            .flatten()
            .unwrap_or(if lost { Key::NONE } else { *page });
        let signs = page.fifths().map_or(0, i32::unsigned_abs);
        let notes = stretch.notes.iter().map(|note| note.note.written.0);
        // Between six sharps and six flats, sharps stay sharps.
        let turned = own.is_some_and(|(_, key)| turns(&key, &page));
        (lost, signs, accidentals(&page, notes, *by), turned)
    };
    spellings(stretch.by)
        .into_iter()
        .min_by_key(cost)
        .unwrap_or(stretch.by)
}

fn spell(
    stretch: &Stretch<'_>,
    by: Interval,
    page: &Key,
    held: &mut HashMap<(u8, Pitch), Pitch>,
    change: &mut Change,
) {
    let new: Vec<Pitch> = stretch
        .notes
        .iter()
        .map(|note| note.note.written.0.transposed(by).simplified())
        .collect();
    let line: Vec<usize> = (0..new.len())
        .filter(|&at| stretch.notes[at].note.layer == 0 && !stretch.notes[at].note.chord)
        .collect();
    for (at, note) in stretch.notes.iter().enumerate() {
        let old = note.note.written.0;
        let place = (note.note.layer, old);
        let tied = held
            .get(&place)
            .copied()
            .filter(|before| note.note.tied_from && before.midi() == new[at].midi());
        let implied = page.alteration(new[at].letter) == new[at].alteration;
        let pitch = match tied {
            Some(before) => before,
            None if is_white_by_black(new[at]) && !implied && !steps(&new, &line, at) => {
                Pitch::from_midi(new[at].midi(), true)
            }
            None => new[at],
        };
        held.insert(place, pitch);
        change.pitches.insert(note.pitch_span, pitch);
    }
}

/// Whether a line comes to a note or leaves it by a step of the staff, so that its name is the right one.
fn steps(new: &[Pitch], line: &[usize], at: usize) -> bool {
    let place = line.partition_point(|&other| other < at);
    let before = place.checked_sub(1).and_then(|before| line.get(before));
    let after = line[place..].iter().find(|&&other| other > at);
    before.into_iter().chain(after).any(|&other| {
        let by = Interval::between(new[at], new[other]);
        by.steps.abs() == 1 && (1..=2).contains(&by.semitones.abs())
    })
}
