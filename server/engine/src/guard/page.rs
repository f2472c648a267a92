//! What stands on the page of a part before and after, but for what the fixes name.

use std::collections::{BTreeMap, HashSet};
use std::sync::Arc;

use score::{
    Bar, Barline, Event, EventKind, Mark, MarkKind, NewMark, Note, Part, PartRef, Placed, Span,
};
use theory::{Quarters, WrittenPitch};

use super::allowance::{Allowance, is_written};
use super::cues::{self, Cues};
use super::refused::Refused;

/// Compares a part's page with what it was. `base` is where its piece begins in the document.
pub(super) fn compare(
    was: &Part,
    is: &Part,
    at: PartRef,
    base: usize,
    allowed: &Allowance,
) -> Result<(), Refused> {
    let name = super::name(was);
    heads(was, is, at, allowed, &name)?;
    let cues = Cues::of(at, allowed);
    bars(was, is, &name, &cues)?;
    let moved = moved_notes(was, base, allowed);
    // Where the notes are what sounds, another record prints other notes and another signature.
    let printed = was.notes_sound && allowed.records.contains(&at);
    let keeps = |event: &Event| match event.kind {
        EventKind::Key(_) => !printed && !allowed.signatures.contains(&at),
        EventKind::Transposition(_) => !allowed.records.contains(&at),
        EventKind::Witness(..) => !allowed.named.contains(&at),
        _ => true,
    };
    let mut added = added_here(was, base, allowed);
    let mut cued = cues.into_expected(&mut added);
    let untouched = untouched_bars(was, is, base, allowed);
    let mut before = events(was, &untouched)
        .filter(|placed| keeps(placed.event))
        .filter(|placed| !allowed.removed.contains(&placed.span().shifted(base)))
        .peekable();
    let page = |placed: &Placed<'_>, part: &Part| Refused::Page {
        part: name.clone(),
        bar: part.bars.get(placed.bar).map_or(0, |bar| bar.number),
        what: what(&placed.event.kind),
    };
    for now in events(is, &untouched).filter(|placed| keeps(placed.event)) {
        if let Some(then) = before.peek() {
            let moves = printed || allowed.rewritten.contains(&at) || moved.contains(&then.span());
            if same(then, &now, moves) {
                before.next();
                continue;
            }
        }
        if cued.take(was, &now) {
            continue;
        }
        let here = added.get_mut(&now.onset);
        let written = here.and_then(|marks| {
            let place = marks.iter().position(|mark| is_mark(now.event, mark))?;
            Some(marks.swap_remove(place))
        });
        match written {
            Some(_) => {}
            None => {
                // What stands in a bar before the next that was there has come; else that has gone.
                let gone = before.peek().filter(|then| then.bar <= now.bar);
                return Err(gone.map_or_else(|| page(&now, is), |gone| page(gone, was)));
            }
        }
    }
    if let Some(lost) = before.next() {
        return Err(page(&lost, was));
    }
    if let Some(onset) = cued.missing() {
        let bar = was.bar_at(onset);
        return Err(Refused::Page {
            part: name,
            bar: bar.map_or(0, |(_, bar)| bar.number),
            what: "the small note that was to be written",
        });
    }
    if let Some((onset, _)) = added.iter().find(|(_, marks)| !marks.is_empty()) {
        let bar = was.bar_at(*onset);
        return Err(Refused::Page {
            part: name,
            bar: bar.map_or(0, |(_, bar)| bar.number),
            what: "the mark that was to be written",
        });
    }
    Ok(())
}

/// Which bars hold the very same runs as before, and nothing that the fixes name.
fn untouched_bars(was: &Part, is: &Part, base: usize, allowed: &Allowance) -> Vec<bool> {
    let same = |one: &Bar, other: &Bar| {
        let runs = one.runs.iter().zip(&other.runs);
        one.runs.len() == other.runs.len()
            && runs
                .into_iter()
                .all(|(one, other)| Arc::ptr_eq(&one.body, &other.body))
            && one.runs.iter().all(|run| {
                let start = base + run.base;
                !allowed.names_within(Span::new(start, start + run.body.text_length))
            })
    };
    let bars = was.bars.iter().zip(&is.bars);
    bars.map(|(one, other)| same(one, other)).collect()
}

/// The events of the bars that may be others.
fn events<'a>(part: &'a Part, untouched: &[bool]) -> impl Iterator<Item = Placed<'a>> {
    let bars = part.bars.iter().zip(untouched).enumerate();
    bars.filter(|(_, (_, untouched))| !**untouched)
        .flat_map(|(index, (bar, _))| bar.events(index))
}

/// What is said of the part before its music.
fn heads(
    was: &Part,
    is: &Part,
    at: PartRef,
    allowed: &Allowance,
    name: &str,
) -> Result<(), Refused> {
    let changed = |what| Refused::Page {
        part: name.to_owned(),
        bar: was.bars.first().map_or(0, |bar| bar.number),
        what,
    };
    let words = |part: &Part| part.name.as_ref().map(|name| name.text.clone());
    if words(was) != words(is) && !allowed.named.contains(&at) {
        return Err(changed("the name"));
    }
    if was.clef != is.clef {
        return Err(changed("the clef"));
    }
    if was.meter != is.meter {
        return Err(changed("the metre"));
    }
    if was.key.map(|(key, _)| key) != is.key.map(|(key, _)| key)
        && !allowed.signatures.contains(&at)
        && !(was.notes_sound && allowed.records.contains(&at))
    {
        return Err(changed("the key signature"));
    }
    let recorded = |part: &Part| part.transposition.map(|(recorded, _)| recorded);
    // Where the notes are what sounds, a name decides how the record is meant.
    let renamed = allowed.named.contains(&at) && was.notes_sound;
    if recorded(was) != recorded(is) && !allowed.records.contains(&at) && !renamed {
        return Err(changed("the transposition"));
    }
    Ok(())
}

/// The bars must stay where they are, whatever stands in them.
fn bars(was: &Part, is: &Part, name: &str, cues: &Cues<'_>) -> Result<(), Refused> {
    let same = was.bars.len() == is.bars.len()
        && barline(was.opening.as_ref()) == barline(is.opening.as_ref())
        && was.bars.iter().zip(&is.bars).all(|(one, other)| {
            (one.number, one.onset, one.length, one.meter)
                == (other.number, other.onset, other.length, other.meter)
                && (barline(one.close.as_ref()) == barline(other.close.as_ref())
                    || cues.divides(was, one, other))
        });
    if same {
        Ok(())
    } else {
        Err(Refused::Bars {
            part: name.to_owned(),
        })
    }
}

/// What a barline says, wherever it stands.
fn barline(barline: Option<&Barline>) -> Option<Barline> {
    Some(Barline {
        span: Span::default(),
        ..barline?.clone()
    })
}

/// The notes that move: those named, and all that they are tied to.
fn moved_notes(part: &Part, base: usize, allowed: &Allowance) -> HashSet<Span> {
    let mut moved = HashSet::new();
    if allowed.moves.is_empty() {
        return moved;
    }
    let named = |placed: &Placed<'_>| allowed.moves.contains_key(&placed.span().shifted(base));
    let notes: Vec<(Placed<'_>, &Note)> = part
        .events()
        .filter_map(|placed| match &placed.event.kind {
            EventKind::Note(note) => Some((placed, note)),
            _ => None,
        })
        .collect();
    // A tie joins a note to the next of its pitch on its layer: both directions are walked with what is open.
    let mut open: Vec<(u8, WrittenPitch)> = Vec::new();
    for (placed, note) in &notes {
        let key = (note.layer, note.written);
        let joined = note.tied_from && open.contains(&key);
        open.retain(|one| *one != key);
        if named(placed) || joined {
            moved.insert(placed.span());
            if note.tied_to {
                open.push(key);
            }
        }
    }
    open.clear();
    for (placed, note) in notes.iter().rev() {
        let key = (note.layer, note.written);
        let joined = note.tied_to && open.contains(&key);
        open.retain(|one| *one != key);
        if joined || moved.contains(&placed.span()) {
            moved.insert(placed.span());
            if note.tied_from {
                open.push(key);
            }
        }
    }
    moved
}

/// When the first mark acts that a fix names in a part.
pub(super) fn first_mark(part: &Part, base: usize, allowed: &Allowance) -> Option<Quarters> {
    let named = |placed: &Placed<'_>| {
        let span = placed.span().shifted(base);
        allowed.removed.contains(&span) || allowed.added.contains_key(&span)
    };
    part.events().filter(named).map(|placed| placed.onset).min()
}

/// The marks that are to be written in a part, with when.
fn added_here(part: &Part, base: usize, allowed: &Allowance) -> BTreeMap<Quarters, Vec<NewMark>> {
    let mut added = BTreeMap::new();
    if allowed.added.is_empty() {
        return added;
    }
    for placed in part.events() {
        let marks = allowed.added.get(&placed.span().shifted(base));
        for mark in marks.into_iter().flatten() {
            let here: &mut Vec<NewMark> = added.entry(placed.onset).or_default();
            here.push(mark.clone());
        }
    }
    added
}

fn is_mark(event: &Event, wanted: &NewMark) -> bool {
    matches!(&event.kind, EventKind::Mark(Mark { kind, .. }) if is_written(kind, wanted))
}

/// Whether two events are the same but for where they stand in the text.
fn same(one: &Placed<'_>, other: &Placed<'_>, moves: bool) -> bool {
    if (one.bar, one.onset) != (other.bar, other.onset) {
        return false;
    }
    match (&one.event.kind, &other.event.kind) {
        (EventKind::Note(one), EventKind::Note(other)) => same_note(one, other, moves),
        (EventKind::Cue(one), EventKind::Cue(other)) => {
            cues::look_alike(one, other) && (moves || one.written == other.written)
        }
        (EventKind::Mark(one), EventKind::Mark(other)) => {
            let kinds = match (&one.kind, &other.kind) {
                (MarkKind::Words(one), MarkKind::Words(other)) => one.text == other.text,
                (one, other) => one == other,
            };
            kinds && one.on_note == other.on_note
        }
        (one, other) => one == other,
    }
}

/// Every field is looked at, so that one added later must be decided on.
fn same_note(one: &Note, other: &Note, moves: bool) -> bool {
    let Note {
        written,
        sounding,
        length,
        alteration_from: _,
        pitch_span: _,
        tied_from,
        tied_to,
        grace,
        chord,
        slurred_to_next,
        layer,
    } = one;
    (moves || *written == other.written && *sounding == other.sounding)
        && *length == other.length
        && *tied_from == other.tied_from
        && *tied_to == other.tied_to
        && *grace == other.grace
        && *chord == other.chord
        && *slurred_to_next == other.slurred_to_next
        && *layer == other.layer
}

const fn what(kind: &EventKind) -> &'static str {
    match kind {
        EventKind::Note(_) => "a note",
        EventKind::Rest(_) => "a rest",
        EventKind::Cue(_) => "a small note",
        EventKind::Mark(Mark { kind, .. }) => match kind {
            MarkKind::Words(_) => "words",
            MarkKind::Sign(_) => "a sign",
            MarkKind::Dynamic(_) => "a dynamic",
            MarkKind::HairpinStart(_) | MarkKind::HairpinEnd => "a hairpin",
        },
        EventKind::Key(_) => "the key signature",
        EventKind::Meter(_) => "the metre",
        EventKind::Tempo(_) => "the tempo",
        EventKind::Transposition(_) => "the transposition",
        EventKind::Clef(_) => "the clef",
        EventKind::Witness(..) => "what the part is called",
        EventKind::Section(_) => "a section's label",
        EventKind::Route(_) => "a sign of the way through the piece",
        EventKind::PageBreak => "the end of a page",
    }
}
