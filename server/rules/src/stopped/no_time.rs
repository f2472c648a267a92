//! `stopped/no-time`: open and stopped by turns, faster than the hand.

use reading::{Hand, PlayedNote};
use score::Row;

use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::rule;
use crate::setting::{Kind, Setting, number, seconds};

static HAND: Setting = Setting {
    name: "hand",
    what: "Seconds the hand needs to close or open the bell: the shortest note before a change.",
    kind: Kind::Seconds,
    default: |_| seconds(horn::time_to_turn_hand()),
};

static TOGETHER: Setting = Setting {
    name: "together",
    what: "How many notes may lie between two quick changes that are told as one passage.",
    kind: Kind::Number("notes"),
    default: |_| number(horn::notes_between_turns(), "notes"),
};

rule! {
    /// Open and stopped notes that change faster than the hand.
    ///
    /// ## Why it matters
    /// To stop a note the hand seals the bell, and the fingering changes too, since a stopped note is fingered a
    /// semitone lower. When the notes come too fast, the hand is still on its way and neither sound is clean.
    ///
    /// ## What to write instead
    /// Give the change a longer note or a rest, keep several notes together in one sound, or share the two sounds
    /// between two horns.
    ///
    /// ## Source
    /// No published time was found; quick changes are written (Rimsky-Korsakov, *Principles of Orchestration*,
    /// English edition 1922, chapter II, names an example). The seconds are this project's choice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/16
    /// Q:1/4=120
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !open!c!+!c!open!c!+!c !open!c4 z8 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/16
    /// Q:1/4=120
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !open!c4!+!c4!open!c4 z4 |]
    /// ```
    "stopped/no-time", Warning, Player(check), settings: [HAND, TOGETHER]
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let needed = ctx.seconds(&RULE, &HAND);
    let together = ctx.number(&RULE, &TOGETHER).value;
    let attacks: Row<&PlayedNote> = ctx
        .part
        .notes
        .iter()
        .filter(|note| note.leads() && !note.tied_from && !note.grace)
        .collect();
    let closed = |note: &PlayedNote| note.technique.hand != Hand::Open;
    let quick: Vec<usize> = attacks
        .windows(2)
        .enumerate()
        .filter(|(_, pair)| {
            closed(pair[0]) != closed(pair[1])
                && (pair[1].starts - pair[0].starts).0 < needed.value.0 - 1e-6
        })
        .map(|(at, _)| at)
        .collect();
    quick
        .chunk_by(|a, b| (b - a) as f64 <= together)
        .filter_map(|passage| {
            let first = passage.first()?;
            let (before, after) = (attacks.get(*first)?, attacks.get(first + 1)?);
            let last = attacks.get(passage.last()? + 1)?;
            let message = format!(
                "The hand has only {:.2} s between {} and {} to {} the bell; it needs about {} s ({}). Neither sound will be \
                 clean. Make the notes at the change longer, keep more notes in one sound, or share the two sounds between \
                 two horns.",
                (after.starts - before.starts).0,
                before.written,
                after.written,
                if closed(after) { "close" } else { "open" },
                needed.value.0,
                ctx.tempo_words(after),
            );
            let shortest = passage
                .iter()
                .filter_map(|at| attacks.get(*at..=at + 1))
                .map(|pair| (pair[1].starts - pair[0].starts).0)
                .fold(f64::INFINITY, f64::min);
            let mark = if closed(after) {
                after.technique.hand_mark
            } else {
                before.technique.hand_mark
            };
            Some(
                ctx.at_tempo(
                    ctx.finding(&RULE, after.pitch_span, message, &needed.source)
                        .at_bar(after.number)
                        .related(mark, "the mark that asks for the change")
                        .related(
                            (passage.len() > 1).then_some(last.pitch_span),
                            "the last quick change here",
                        ),
                    after,
                    shortest / needed.value.0,
                ),
            )
        })
        .collect()
}
