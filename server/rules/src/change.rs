//! Changes of mute and bell, and the rest that the player has for each, at the turn of a repeat too.

use std::collections::HashMap;

use horn::Sourced;
use reading::{PlayedMark, PlayedNote, Technique};
use score::Span;
use theory::Seconds;

use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::Rule;

/// Seconds; a shorter rest would be told of as one of none.
const SHORTEST: f64 = 0.05;

/// What may be changed between two notes.
pub(crate) struct Changeable {
    /// Whether it is changed from what is usual.
    pub(crate) is_on: fn(&Technique) -> bool,
    /// The mark that has changed it last.
    pub(crate) set_by: fn(&Technique) -> Option<Span>,
    /// Where a mark leaves it; `None` where that says nothing of it.
    pub(crate) asked: fn(&PlayedMark) -> Option<bool>,
}

/// A change between two notes.
#[derive(Clone, Copy)]
pub(crate) struct Change<'a> {
    /// What asks for it.
    pub(crate) mark: &'a PlayedMark,
    /// Whether it is on from here.
    pub(crate) on: bool,
    /// The last note before it.
    pub(crate) last: &'a PlayedNote,
    /// The first note after it.
    pub(crate) next: &'a PlayedNote,
    /// Which time that one is then played, from 1 on.
    pub(crate) time: u32,
    /// The rest between the two.
    pub(crate) rest: Seconds,
}

impl Change<'_> {
    /// The rest, as the beginning of a sentence that goes on with what it is too short for.
    pub(crate) fn rest_in_words(&self) -> String {
        if is_no_rest(self.rest) {
            "There is no rest".to_owned()
        } else {
            format!("There are only {:.1} s of rest", self.rest.0)
        }
    }

    /// A finding about it, where it needs more seconds than there are.
    pub(crate) fn hurried(
        &self,
        ctx: &PartContext<'_>,
        rule: &Rule,
        message: String,
        needed: &Sourced<Seconds>,
    ) -> Finding {
        let finding = ctx
            .finding(rule, self.mark.span, message, &needed.source)
            .at_bar(self.mark.number)
            .related(Some(self.last.span), "the last note before the change")
            .related(Some(self.next.span), "the first note after the change");
        ctx.at_tempo(finding, self.next, self.rest.0 / needed.value.0)
    }
}

/// Whether a rest is so short that nobody would call it one.
pub(crate) fn is_no_rest(rest: Seconds) -> bool {
    rest.0 < SHORTEST
}

impl<'a> PartContext<'a> {
    /// Every change of something, each mark's once: where its rest is the shortest.
    pub(crate) fn changes(&self, what: &Changeable) -> Vec<Change<'a>> {
        let part = self.part;
        let on_page = part.marks.iter().filter_map(|mark| {
            let on = (what.asked)(mark).filter(|on| *on != (what.is_on)(&mark.before))?;
            let last = part.notes.get(mark.last_note?)?;
            let next = part.notes.get(mark.next_note?)?;
            Some(Change {
                mark,
                on,
                last,
                next,
                time: 1,
                rest: Seconds((next.starts - last.ends).0.max(0.0)),
            })
        });
        let mut changes: Vec<Change<'a>> = on_page.collect();
        if part.jumps.is_empty() {
            return changes;
        }
        let marks: HashMap<Span, &PlayedMark> =
            part.marks.iter().map(|mark| (mark.span, mark)).collect();
        let known = changes.iter().enumerate();
        let mut known: HashMap<Span, usize> =
            known.map(|(at, change)| (change.mark.span, at)).collect();
        for jump in &part.jumps {
            let on = (what.is_on)(&jump.after);
            let asks = (what.set_by)(&jump.after).filter(|_| on != (what.is_on)(&jump.before));
            let mark = asks.and_then(|span| marks.get(&span).copied());
            let notes = (part.notes.get(jump.last), part.notes.get(jump.next));
            let (Some(mark), (Some(last), Some(next))) = (mark, notes) else {
                continue;
            };
            let change = Change {
                mark,
                on,
                last,
                next,
                time: jump.time,
                rest: jump.rest,
            };
            let at = *known.entry(mark.span).or_insert(changes.len());
            match changes.get_mut(at) {
                Some(one) if jump.rest < one.rest => *one = change,
                Some(_) => {}
                None => changes.push(change),
            }
        }
        changes
    }
}
