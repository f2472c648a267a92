//! `line/tongue-speed`: notes tongued faster than the tongue.

use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::{Severity, rule};
use crate::setting::{Kind, Setting, number};

use super::run;

static SINGLE: Setting = Setting {
    name: "single",
    what: "The fastest single tonguing to ask for.",
    kind: Kind::Number("notes a second"),
    default: |level| number(horn::single_tongue(level), "notes a second"),
};

static DOUBLE: Setting = Setting {
    name: "double",
    what: "The fastest double tonguing to ask for.",
    kind: Kind::Number("notes a second"),
    default: |level| number(horn::double_tongue(level), "notes a second"),
};

static NOTES: Setting = Setting {
    name: "notes",
    what: "How many notes in a row make a run; fewer are got through.",
    kind: Kind::Number("notes"),
    default: |_| number(horn::tongued_run(), "notes"),
};

rule! {
    /// A run of tongued notes faster than the tongue.
    ///
    /// ## Why it matters
    /// Every note without a slur is started by the tongue. Beyond a certain speed single strokes are too slow and players
    /// double-tongue, which is easy on one repeated note, harder over changing ones, and not something everybody has
    /// learnt; faster still, the notes run together.
    ///
    /// ## What to write instead
    /// Slur the notes in twos or fours, halve the repetitions, or share the run between two horns.
    ///
    /// ## Source
    /// No figures for the horn were found. Rimsky-Korsakov, *Principles of Orchestration* (English edition 1922),
    /// p. 26, allows horns single tonguing only; later teaching has double tonguing too. The speeds are this
    /// project's choice and yours to set.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/16
    /// Q:1/4=160
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// cccc cccc c4 z4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/16
    /// Q:1/4=160
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// c2c2c2c2 cc c2 z4 |]
    /// ```
    "line/tongue-speed", Warning, Player(check), settings: [SINGLE, DOUBLE, NOTES]
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let (single, double) = (ctx.number(&RULE, &SINGLE), ctx.number(&RULE, &DOUBLE));
    let least = ctx.number(&RULE, &NOTES).value;
    let attacks = run::attacks(ctx.part);
    run::faster_than(&attacks, single.value, least, |from, _| {
        !from.slurred_to_next
    })
    .filter_map(|run| {
        let (first, last) = (run.first()?, run.last()?);
        let speed = run::speed(run);
        let (severity, limit, what) = if speed > double.value {
            (
                Severity::Warning,
                double,
                "Even double-tongued the notes run together at that speed.",
            )
        } else {
            (
                Severity::Information,
                single,
                "That is too fast for single tonguing: players have to double-tongue it.",
            )
        };
        let message = format!(
            "{} tongued notes in a row from {} on, {speed:.1} a second ({}). {what} Slur some of them, repeat fewer notes, or share the \
             run between two horns.",
            run.len(),
            first.written,
            ctx.tempo_words(first),
        );
        Some(
            ctx.at_tempo(
                ctx.finding(&RULE, first.pitch_span, message, &limit.source)
                    .at_bar(first.number)
                    .graver(severity)
                    .related(Some(last.pitch_span), "the last of the run"),
                first,
                run::ceases(run, single.value),
            ),
        )
    })
    .collect()
}
