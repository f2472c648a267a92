//! How each note is played before and after, but for what the fixes name.

use std::collections::HashMap;

use horn::Dynamic;
use reading::{HornPart, Marked, PlayedNote};
use score::{Span, TrillTo};
use theory::Quarters;

use super::allowance::{Allowance, Move};
use super::refused::Refused;

/// Seconds; times nearer than this are the same.
const EXACT: f64 = 1e-6;

/// Compares how a horn's notes are played, on the staff and by each of its players. `base` is where the piece begins;
/// `acts_from` when the first mark acts that a fix names, before which nothing may change.
pub(super) fn compare(
    was: &HornPart,
    is: &HornPart,
    base: usize,
    allowed: &Allowance,
    acts_from: Option<Quarters>,
) -> Result<(), Refused> {
    notes(was, is, base, allowed, acts_from)?;
    if was.lines.len() != is.lines.len() {
        return Err(Refused::Parts);
    }
    for (one, other) in was.lines.iter().zip(&is.lines) {
        notes(one, other, base, allowed, acts_from)?;
    }
    Ok(())
}

fn notes(
    was: &HornPart,
    is: &HornPart,
    base: usize,
    allowed: &Allowance,
    acts_from: Option<Quarters>,
) -> Result<(), Refused> {
    if was.notes.len() != is.notes.len() {
        return Err(Refused::Notes {
            part: was.label.clone(),
        });
    }
    let meant = with_ties(&was.notes, base, &allowed.moves);
    for ((one, other), meant) in was.notes.iter().zip(&is.notes).zip(meant) {
        let wanted = match meant {
            None => one.sounding.midi(),
            Some(Move::By(semitones)) => one.sounding.midi() + semitones,
            Some(Move::To(written)) => one.sounding.midi() + written - one.written.midi(),
        };
        if other.sounding.midi() != wanted {
            return Err(Refused::Sound {
                part: was.label.clone(),
                bar: one.number,
                note: one.written.to_string(),
                sounds: other.sounding.to_string(),
                wanted: theory::Pitch::from_midi(wanted, one.sounding.0.alteration.0 > 0)
                    .to_string(),
            });
        }
        let acts = !allowed.safe && acts_from.is_some_and(|from| from <= one.onset);
        if let Some(what) = differs(one, other, acts && !allowed.dynamics_alone, acts) {
            return Err(Refused::Played {
                part: was.label.clone(),
                bar: one.number,
                note: one.written.to_string(),
                what,
            });
        }
    }
    // A mark that one pass can do without may be needed in another.
    let free = !allowed.safe && !allowed.dynamics_alone && acts_from.is_some();
    let moved = was
        .jumps
        .iter()
        .zip(&is.jumps)
        .find(|(one, other)| one.after.held() != other.after.held());
    match moved.and_then(|(jump, _)| was.notes.get(jump.next)) {
        Some(note) if !free => Err(Refused::Played {
            part: was.label.clone(),
            bar: note.number,
            note: note.written.to_string(),
            what: "hand, mute or bell when a repeat comes to it",
        }),
        _ => Ok(()),
    }
}

/// What of a note's playing differs, its sound aside. `free` says that a mark which a fix names may act on it, `louder`
/// that a dynamic may.
///
/// Every field is looked at, so that one added later must be decided on.
fn differs(one: &PlayedNote, other: &PlayedNote, free: bool, louder: bool) -> Option<&'static str> {
    let PlayedNote {
        span: _,
        pitch_span: _,
        bar,
        number,
        offset,
        onset,
        length,
        clef,
        written: _,
        sounding: _,
        height: _,
        register: _,
        technique,
        marked,
        starts,
        ends,
        since_rest,
        alteration_from: _,
        grace,
        chord,
        tied_from,
        tied_to,
        slurred_to_next,
        breath,
        fermata,
        trill,
        layer,
        players,
    } = one;
    let Marked { dynamic, solo } = marked.as_ref();
    let marks = &other.marked;
    let loudness = |dynamic: Option<(Dynamic, Span)>| dynamic.map(|(dynamic, _)| dynamic);
    let to = |trill: Option<&(TrillTo, Span)>| trill.map(|(to, _)| *to);
    let near = |one: f64, other: f64| (one - other).abs() < EXACT;
    let place =
        (bar, number, offset, onset) == (&other.bar, &other.number, &other.offset, &other.onset);
    let time = near(starts.0, other.starts.0) && near(ends.0, other.ends.0);
    let checks = [
        (place, "its place"),
        (
            *length == other.length && *grace == other.grace,
            "its length",
        ),
        (time, "its time"),
        (*clef == other.clef, "its clef"),
        (
            *tied_from == other.tied_from && *tied_to == other.tied_to,
            "its ties",
        ),
        (*slurred_to_next == other.slurred_to_next, "its slur"),
        (
            free || breath.is_some() == other.breath.is_some()
                && near(since_rest.0, other.since_rest.0),
            "its breath",
        ),
        (*fermata == other.fermata, "its fermata"),
        (
            free || to(trill.as_deref()) == to(other.trill.as_deref()),
            "its trill",
        ),
        (
            free || (*chord, *layer, *players) == (other.chord, other.layer, other.players),
            "who plays it",
        ),
        (free || technique.hand == other.technique.hand, "the hand"),
        (free || technique.mute == other.technique.mute, "the mute"),
        (
            free || technique.bell_up == other.technique.bell_up,
            "the raised bell",
        ),
        (
            free || technique.tone == other.technique.tone,
            "how the tone is made",
        ),
        (
            louder || loudness(*dynamic) == loudness(marks.dynamic),
            "the dynamic",
        ),
        (free || solo.is_some() == marks.solo.is_some(), "the solo"),
    ];
    checks
        .into_iter()
        .find(|(same, _)| !same)
        .map(|(_, what)| what)
}

/// What each note is meant to do; a tied note goes with those it is tied to.
fn with_ties(notes: &[PlayedNote], base: usize, moves: &HashMap<Span, Move>) -> Vec<Option<Move>> {
    let mut meant: Vec<Option<Move>> = notes
        .iter()
        .map(|note| moves.get(&note.span.shifted(base)).copied())
        .collect();
    if moves.is_empty() {
        return meant;
    }
    // A chain of tied notes moves with any of its links; links are found with the notes whose ties are open.
    let mut chain: Vec<usize> = (0..notes.len()).collect();
    let mut open: Vec<(u8, i32, usize)> = Vec::new();
    for (index, note) in notes.iter().enumerate() {
        let key = (note.layer, note.written.midi());
        let before = open
            .iter()
            .position(|(layer, midi, _)| (*layer, *midi) == key);
        if let Some(place) = before {
            let (_, _, first) = open.swap_remove(place);
            if note.tied_from {
                chain[index] = first;
            }
        }
        if note.tied_to {
            open.push((key.0, key.1, chain[index]));
        }
    }
    let mut of_chain: HashMap<usize, Move> = HashMap::new();
    for (index, meant) in meant.iter().enumerate() {
        if let Some(meant) = meant {
            of_chain.entry(chain[index]).or_insert(*meant);
        }
    }
    for (index, meant) in meant.iter_mut().enumerate() {
        *meant = meant.or_else(|| of_chain.get(&chain[index]).copied());
    }
    meant
}
