//! `line/awkward-valves`: a fast passage whose fingerings tangle.

use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::rule;
use crate::setting::{Kind, Setting, number};

use super::run;

static FAST: Setting = Setting {
    name: "fast",
    what: "From how many notes a second on the fingerings are counted.",
    kind: Kind::Number("notes a second"),
    default: |level| number(horn::fast_fingers(level), "notes a second"),
};

static COST: Setting = Setting {
    name: "cost",
    what: "The average cost of a change, in levers moved, from which a passage is awkward.",
    kind: Kind::Number("levers"),
    default: |_| number(horn::awkward_change(), "levers"),
};

static NOTES: Setting = Setting {
    name: "notes",
    what: "How many notes make a passage; fewer are got through.",
    kind: Kind::Number("notes"),
    default: |_| number(horn::fast_run(), "notes"),
};

rule! {
    /// A fast passage whose fingerings tangle.
    ///
    /// ## Why it matters
    /// Between some notes one valve moves, or none; between others two fingers cross while the thumb changes sides.
    /// At speed, with several such changes in a row, fingers and lips part company.
    ///
    /// ## What to write instead
    /// Move the passage by a half step, or use another figure on the same chord; a scale or arpeggio in another key may
    /// lie well. At a slower tempo anything can be played.
    ///
    /// ## Source
    /// Fingerings from Smalley, *Double Horn Fingering Dictionary* (2025), and computed for a triple horn's high F
    /// side; the easiest sequence on the part's instrument is taken. What a
    /// change costs (a lever 1, crossing fingers 1 more, the thumb 1, an unusual fingering 2.5) is this project's
    /// model.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/16
    /// Q:1/4=138
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// (^G,^A,^C^A, ^G,^A,^C^A,) z8 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/16
    /// Q:1/4=138
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// (cdef edef) c8 |]
    /// ```
    "line/awkward-valves", Information, Player(check), settings: [FAST, COST, NOTES], rests_on: Crook
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let fast = ctx.number(&RULE, &FAST).value;
    let limit = ctx.number(&RULE, &COST);
    let least = ctx.number(&RULE, &NOTES).value;
    let attacks = run::attacks(ctx.part);
    run::faster_than(&attacks, fast, least, |_, _| true)
        .filter_map(|run| {
            let (first, last) = (run.first()?, run.last()?);
            let heights: Vec<_> = run.iter().map(|note| note.height).collect();
            let (ways, cost) = horn::easiest(ctx.instrument(), &heights)?;
            let average = cost / (run.len() - 1) as f64;
            if average < limit.value {
                return None;
            }
            let shown: Vec<String> = ways
                .iter()
                .take(8)
                .map(|way| way.tube.to_string())
                .collect();
            let message = format!(
                "{} notes at {:.1} a second ({}) on which the fingers tangle: the easiest fingerings go {}{}. Move the figure \
                 by a half step, use other notes of the chord, or take it slower.",
                run.len(),
                run::speed(run),
                ctx.tempo_words(first),
                shown.join(", "),
                if ways.len() > shown.len() { ", ..." } else { "" },
            );
            Some(
                ctx.at_tempo(
                    ctx.finding(&RULE, first.pitch_span, message, &limit.source)
                        .at_bar(first.number)
                        .related(Some(last.pitch_span), "the last of the passage"),
                    first,
                    run::ceases(run, fast),
                ),
            )
        })
        .collect()
}
