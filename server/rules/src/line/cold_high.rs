//! `line/cold-high`: a high entry after a long rest.

use std::collections::HashSet;

use reading::which_time;

use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::rule;
use crate::setting::{Kind, Setting, pitch, seconds};

static REST: Setting = Setting {
    name: "rest",
    what: "Seconds of rest after which lips and horn are cold.",
    kind: Kind::Seconds,
    default: |_| seconds(horn::cold_after()),
};

static FROM: Setting = Setting {
    name: "from",
    what: "The note from which an entry is high for cold lips, as written for horn in F.",
    kind: Kind::Pitch,
    default: |level| pitch(horn::cold_from(level)),
};

rule! {
    /// A high entry after a long rest.
    ///
    /// ## Why it matters
    /// In a long rest the lips stiffen, and the horn cools and goes flat. To enter high, with nothing to warm up on, is a
    /// risk.
    ///
    /// ## What to write instead
    /// Give the horn a few easy notes in the middle register before, or start the entry lower and climb.
    ///
    /// ## Source
    /// No source gives numbers; how long and how high is bellhand's own choice and yours to set.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=60
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !f!c4 | Z25 | !f!b2 a2 | g4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=60
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !f!c4 | Z12 | !f!c2 e2 | Z12 | !f!b2 a2 | g4 |]
    /// ```
    "line/cold-high", Information, Player(check), settings: [REST, FROM], rests_on: Crook
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let rest = ctx.seconds(&RULE, &REST);
    let from = ctx.pitch(&RULE, &FROM).value;
    let mut findings = Vec::new();
    // The players come to the start of a piece warm or cold, nobody knows; silence counts from there.
    let mut silent_since = 0.0;
    // An entry is told of once, however often it is played.
    let mut told = HashSet::new();
    for (note, pass) in ctx.part.played() {
        let silence = pass.starts.0 - silent_since;
        let cold = silence >= rest.value.0 && note.height >= from && !note.grace;
        if cold && told.insert(pass.note) {
            let message = format!(
                "{} comes after {silence:.0} s without a note{} ({}). Lips and horn are cold by then, and an entry this high \
                 is a gamble. Give the horn some easy notes before it, or begin lower.",
                ctx.name_and_height(note),
                which_time(pass.time),
                ctx.tempo_words(note),
            );
            findings.push(
                ctx.at_tempo(
                    ctx.finding(&RULE, note.pitch_span, message, &rest.source)
                        .at_bar(note.number),
                    note,
                    silence / rest.value.0,
                ),
            );
        }
        silent_since = pass.ends.0.max(silent_since);
    }
    findings
}
