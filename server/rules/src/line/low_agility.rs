//! `line/low-agility`: fast notes low down.

use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::rule;
use crate::setting::{Kind, Setting, number, pitch};

use super::run;

static BELOW: Setting = Setting {
    name: "below",
    what: "Below which note the horn is slow to speak, as written for horn in F.",
    kind: Kind::Pitch,
    default: |level| pitch(horn::slow_below(level)),
};

static FASTEST: Setting = Setting {
    name: "fastest",
    what: "The fastest notes to ask for down there.",
    kind: Kind::Number("notes a second"),
    default: |level| number(horn::fastest_low(level), "notes a second"),
};

static NOTES: Setting = Setting {
    name: "notes",
    what: "How many notes make a run; fewer are an upbeat.",
    kind: Kind::Number("notes"),
    default: |_| number(horn::low_run(), "notes"),
};

rule! {
    /// Fast notes low on the horn.
    ///
    /// ## Why it matters
    /// Low notes need a loose lip and a lot of air, and the horn answers late. Fast notes that low turn into a growl in
    /// which no pitch is heard.
    ///
    /// ## What to write instead
    /// Write the figure an octave higher (the fix), give the horn only its main notes, or give the run to an
    /// instrument that moves quickly in that register, such as a bassoon or euphonium.
    ///
    /// ## Source
    /// Horns have little mobility in spite of their valves: Rimsky-Korsakov, *Principles of Orchestration* (English
    /// edition 1922), p. 24. How low and how fast is bellhand's own choice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/16
    /// Q:1/4=120
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// C,B,,A,,B,, C,B,,A,,B,, C,8 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/16
    /// Q:1/4=120
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// (CB,A,B, CB,A,B,) C8 |]
    /// ```
    "line/low-agility", Information, Player(check), settings: [BELOW, FASTEST, NOTES], rests_on: Crook
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let below = ctx.pitch(&RULE, &BELOW);
    let fastest = ctx.number(&RULE, &FASTEST).value;
    let least = ctx.number(&RULE, &NOTES).value;
    let attacks = run::attacks(ctx.part);
    run::faster_than(&attacks, fastest, least, |from, to| {
        from.height < below.value && to.height < below.value
    })
    .filter_map(|run| {
        let (first, last) = (run.first()?, run.last()?);
        let message = format!(
            "{} notes below {} at {:.1} a second ({}). That low the horn speaks slowly, and they turn into a growl. Write them an \
             octave higher or slower, or give them to a low instrument that moves more quickly.",
            run.len(),
            ctx.limit(below.value, first),
            run::speed(run),
            ctx.tempo_words(first),
        );
        Some(
            ctx.at_tempo(
                ctx.finding(&RULE, first.pitch_span, message, &below.source)
                    .at_bar(first.number)
                    .related(Some(last.pitch_span), "the last of the run")
                    .fix(
                        Safety::Review,
                        "Move the run up an octave".to_owned(),
                        PartContext::octaves(run.iter().map(|note| note.span), 1),
                    ),
                first,
                run::ceases(run, fastest),
            ),
        )
    })
    .collect()
}
