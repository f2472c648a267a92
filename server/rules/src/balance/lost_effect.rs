//! `balance/lost-effect`: stopped or muted horns that nobody can hear.

use reading::{Hand, Mute, PlayedNote};

use super::passage::{bars, covering, passages};
use super::{COVERED_BY, NOTES};
use crate::context::AmongContext;
use crate::finding::Finding;
use crate::rule::rule;

rule! {
    /// Stopped or muted horns under a tutti that swallows them.
    ///
    /// ## Why it matters
    /// However loudly they are marked, stopped and muted horns reach the hall at about mezzo-forte. Under a loud tutti the
    /// colour is gone; what remains is the work of changing hand or mute.
    ///
    /// ## What to write instead
    /// Let the colour stand alone or lightly accompanied, or leave the horns open.
    ///
    /// ## Source
    /// About mezzo-forte is what is heard of stopped notes: Ericson, *Horn Matters* (2008, 2011). What each instrument
    /// weighs: Rimsky-Korsakov, *Principles of Orchestration* (English edition 1922), p. 33. How much swallows the colour,
    /// and that a mute does the same, is bellhand's own choice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// V:2 name="Trumpet"
    /// V:3 name="Trombone"
    /// [V:1] !ff!!+!c !+!d !+!e !+!f | z4 |]
    /// [V:2] !ff!g4 | e4 |]
    /// [V:3] !ff!C4 | C4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// V:2 name="Clarinet"
    /// [V:1] !f!!+!c !+!d !+!e !+!f | z4 |]
    /// [V:2] !p!E4 | G4 |]
    /// ```
    "balance/lost-effect", Hint, PartAmong(check), settings: [COVERED_BY, NOTES], rests_on: Crook
}

/// What is heard in the bell, in a word.
fn colour(note: &PlayedNote) -> Option<&'static str> {
    match (note.technique.hand, note.technique.mute) {
        (Hand::Stopped, _) | (_, Mute::Stopping) => Some("stopped"),
        (Hand::HalfStopped, _) => Some("half-stopped"),
        (Hand::Open, Mute::Usual) => Some("muted"),
        (Hand::Open, Mute::Out) => None,
    }
}

fn check(ctx: &AmongContext<'_>) -> Vec<Finding> {
    let (times, least) = (ctx.number(&RULE, &COVERED_BY), ctx.number(&RULE, &NOTES));
    // A passage is what is played in one colour, from rest to rest.
    let passages = passages(
        ctx,
        |note| colour(note).is_some(),
        |before, note| colour(before) == colour(note) && note.since_rest.0 > 0.0,
    );
    let findings = passages.into_iter().filter_map(|passage| {
        let word = passage.first().copied().and_then(colour)?;
        if (passage.len() as f64) < least.value {
            return None;
        }
        let against = covering(ctx, &passage, times.value, true)?;
        let note = against.first;
        let message = format!(
            "{} the {word} horn {}, with about {:.0} times what a {word} horn carries. However loudly it is marked, nobody will hear \
             the colour. Let it stand alone or lightly accompanied, or leave the horn open.",
            against.cover,
            bars(note.number, against.last),
            against.times,
        );
        let mark = note.technique.hand_mark.or(note.technique.mute_mark);
        Some(
            ctx.finding(&RULE, note.pitch_span, message, &horn::loudest_closed().source)
                .at_bar(note.number)
                .related(mark, "the mark that asks for the colour"),
        )
    });
    findings.collect()
}
