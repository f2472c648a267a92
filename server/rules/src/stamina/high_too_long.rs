//! `stamina/high-too-long`: too long in the high register.

use std::collections::HashSet;

use reading::which_time;

use super::passed::Passed;
use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::rule;
use crate::setting::{Kind, Setting, pitch, seconds};

pub(crate) static FROM: Setting = Setting {
    name: "from",
    what: "From which note on it is high, as written for horn in F.",
    kind: Kind::Pitch,
    default: |level| pitch(horn::high_from(level)),
};

static STAY: Setting = Setting {
    name: "stay",
    what: "Seconds to stay there, time spent lower or at rest counted off.",
    kind: Kind::Seconds,
    default: |level| seconds(horn::high_for(level)),
};

rule! {
    /// Too long in the high register without coming down.
    ///
    /// ## Why it matters
    /// High notes are held by the strength of the lip, which tires quickly up there: first the tone thins, then notes are
    /// missed, and whatever comes afterwards suffers too.
    ///
    /// ## What to write instead
    /// Let the line come down between, hand it from one pair of horns to the other, or give rests. Trouble with
    /// the lip is not for a rule to judge: what the player, a teacher or a doctor says comes first.
    ///
    /// ## Source
    /// That horns cannot stay above the staff for long: Ericson, "Composers who can't write for the horn"
    /// (hornmatters.com, 2008). The seconds, and counting off time spent lower, are bellhand's own choice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=60
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !mf!a g a g | a a g z | g a g a | a g a z | g a g a | g a g z | g4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=60
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !mf!a g a g | a a g z | e c e c | d e c z | g a g a | g4 |]
    /// ```
    "stamina/high-too-long", Information, Player(check), settings: [FROM, STAY], rests_on: Crook
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let from = ctx.pitch(&RULE, &FROM).value;
    let stay = ctx.seconds(&RULE, &STAY);
    // Said once, it is said again only after as long again.
    let mut passed = Passed::new(stay.value.0, 1.0);
    let most = ctx
        .part
        .played()
        .map(|(_, pass)| pass.effort.high.after)
        .fold(0.0, f64::max);
    let mut findings = Vec::new();
    // A note is told once, however often it is played.
    let mut told = HashSet::new();
    for (note, pass) in ctx.part.played() {
        let effort = &pass.effort;
        if !passed.by(effort.high.after) || !told.insert(pass.note) {
            continue;
        }
        let began = ctx.part.passes.get(effort.high.since).unwrap_or(pass);
        let first = ctx.part.notes.get(began.note).unwrap_or(note);
        let message = format!(
            "From {} in bar {}{} to here{} the horn stays at or above {from} for more than {:.0} s, with too little time lower \
             or at rest between ({}). The lip tires and notes are missed. Come down between, share it with another horn, or \
             give rests. {}",
            first.written,
            first.number,
            which_time(began.time),
            which_time(pass.time),
            stay.value.0,
            ctx.tempo_words(note),
            horn::caution(),
        );
        findings.push(
            ctx.at_tempo(
                ctx.finding(&RULE, note.pitch_span, message, &stay.source)
                    .at_bar(note.number)
                    .related(Some(first.pitch_span), "where it began"),
                note,
                most / stay.value.0,
            ),
        );
    }
    findings
}
