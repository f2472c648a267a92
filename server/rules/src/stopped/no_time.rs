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

static SERIES: Setting = Setting {
    name: "series",
    what: "How many changes in a row, note by note, are a series.",
    kind: Kind::Number("changes"),
    default: |_| number(horn::turns_of_a_series(), "changes"),
};

static SERIES_HAND: Setting = Setting {
    name: "series-hand",
    what: "Seconds the hand needs for each change of a series.",
    kind: Kind::Seconds,
    default: |_| seconds(horn::time_in_a_series()),
};

rule! {
    /// Open and stopped notes that change faster than the hand.
    ///
    /// ## Why it matters
    /// To stop a note the hand seals the bell, and the fingering changes too, since a stopped note is fingered a
    /// semitone lower. When the notes come too fast, the hand is still on its way and neither sound is clean.
    /// Changes that are slow enough one by one tire the hand when many follow each other note by note.
    ///
    /// ## What to write instead
    /// Give the change a longer note or a rest, keep several notes together in one sound, or share the two sounds
    /// between two horns.
    ///
    /// ## Source
    /// No published time was found; quick changes are written (Rimsky-Korsakov, *Principles of Orchestration*,
    /// English edition 1922, chapter II, names an example). The seconds are bellhand's own choice.
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
    "stopped/no-time", Warning, Player(check), settings: [HAND, TOGETHER, SERIES, SERIES_HAND]
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
    let quick: Vec<usize> = attacks
        .windows(2)
        .enumerate()
        .filter(|(_, pair)| {
            closed(pair[0]) != closed(pair[1])
                && (pair[1].starts - pair[0].starts).0 < needed.value.0 - 1e-6
        })
        .map(|(at, _)| at)
        .collect();
    let series = series(ctx, &attacks, &quick);
    let quick = quick
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
        });
    quick.chain(series).collect()
}

fn closed(note: &PlayedNote) -> bool {
    note.technique.hand != Hand::Open
}

/// Changes that follow each other note by note, none of them too quick alone; `quick` are those that are.
fn series(ctx: &PartContext<'_>, attacks: &Row<&PlayedNote>, quick: &[usize]) -> Vec<Finding> {
    let (least, needed) = (ctx.number(&RULE, &SERIES), ctx.seconds(&RULE, &SERIES_HAND));
    let turns: Vec<usize> = attacks
        .windows(2)
        .enumerate()
        .filter(|(at, pair)| {
            closed(pair[0]) != closed(pair[1])
                && (pair[1].starts - pair[0].starts).0 < needed.value.0 - 1e-6
                && quick.binary_search(at).is_err()
        })
        .map(|(at, _)| at)
        .collect();
    turns
        .chunk_by(|a, b| b - a == 1)
        .filter(|turns| turns.len() as f64 >= least.value)
        .filter_map(|turns| {
            let first = attacks.get(turns.first()? + 1)?;
            let before = attacks.get(*turns.first()?)?;
            let last = attacks.get(turns.last()? + 1)?;
            let shortest = turns
                .iter()
                .filter_map(|at| attacks.get(*at..=at + 1))
                .map(|pair| (pair[1].starts - pair[0].starts).0)
                .fold(f64::INFINITY, f64::min);
            let message = format!(
                "The hand turns {} times in a row from here, every {shortest:.2} s ({}). Each change can be done, but so many \
                 without a pause are hardly clean. Keep more notes in one sound, or share the two sounds between two horns.",
                turns.len(),
                ctx.tempo_words(first),
            );
            let mark = if closed(first) {
                first.technique.hand_mark
            } else {
                before.technique.hand_mark
            };
            let finding = ctx
                .finding(&RULE, first.pitch_span, message, &needed.source)
                .at_bar(first.number)
                .related(mark, "the mark that asks for the change")
                .related(Some(last.pitch_span), "the last change of the series");
            Some(ctx.at_tempo(finding, first, shortest / needed.value.0))
        })
        .collect()
}
