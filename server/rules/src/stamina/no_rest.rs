//! `stamina/no-rest`: playing on until the lip is tired.

use std::collections::HashSet;

use reading::which_time;

use super::passed::Passed;
use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::rule;
use crate::setting::{Kind, Setting, number, seconds};

pub(crate) static CAPACITY: Setting = Setting {
    name: "capacity",
    what: "How many seconds of mf on written C5 (horn in F) a player plays without rest before the lip tires.",
    kind: Kind::Seconds,
    default: |level| seconds(horn::lip_capacity(level)),
};

pub(crate) static RECOVERY: Setting = Setting {
    name: "recovery",
    what: "How many of those seconds a second of rest takes off.",
    kind: Kind::Number("seconds"),
    default: |_| number(horn::lip_recovery(), "seconds"),
};

static AGAIN: Setting = Setting {
    name: "again",
    what: "What part of the capacity must be added, or have come back, before it is said again.",
    kind: Kind::Number("of the capacity"),
    default: |_| number(horn::lip_told_again(), "of the capacity"),
};

rule! {
    /// Too much playing with too little rest.
    ///
    /// ## Why it matters
    /// The muscles of the lip tire as they play and recover in rests. Without enough rest high notes go first, then
    /// control; overuse of the lip is among the commonest injuries of brass players.
    ///
    /// ## What to write instead
    /// Rests of several bars, above all after loud and high passages; four horns need not all play all the time.
    /// Pain, swelling or loss of control are for a player, a teacher or a doctor to judge, and end the playing.
    ///
    /// ## Source
    /// That rests are needed: Rimsky-Korsakov, *Principles of Orchestration* (English edition 1922), pp. 19 and 26; that no
    /// rest is a fault even at moderate height: Hembd (Horn Matters, 2009); on overuse: Lewis (polyphonic.org, 2019). The numbers are this project's model, measured nowhere: a note loads its seconds, times
    /// 1 on written C5 and double with each fifth higher (never under a half), times 0.8 at p, 1 at mf, 1.3 at f,
    /// 1.6 at ff; a second of rest takes off `recovery`; the rule speaks when the load passes `capacity`.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=60
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !ff!a g a g | a b a z | a g a g | a b a z | a g a g | a b a z | a g a g | a b a z |
    /// a g a g | a b a z | a g a g | a b a z | a g a g | a b a z | a g a g | a b a z |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=60
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !f!c e g e | d e c z | Z4 | c e g e | d e c z | Z4 | c e g e | d e c z | Z4 | c e g e | d e c z |]
    /// ```
    "stamina/no-rest", Information, Player(check), settings: [CAPACITY, RECOVERY, AGAIN], rests_on: Crook
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let capacity = ctx.seconds(&RULE, &CAPACITY);
    let again = ctx.number(&RULE, &AGAIN).value;
    let mut passed = Passed::new(capacity.value.0, again);
    let most = ctx
        .part
        .played()
        .map(|(_, pass)| pass.effort.lip.after)
        .fold(0.0, f64::max);
    let mut findings = Vec::new();
    // A note is told once, however often it is played.
    let mut told = HashSet::new();
    for (note, pass) in ctx.part.played() {
        let effort = &pass.effort;
        if !passed.by(effort.lip.after) || !told.insert(pass.note) {
            continue;
        }
        let began = ctx.part.passes.get(effort.lip.since).unwrap_or(pass);
        let first = ctx.part.notes.get(began.note).unwrap_or(note);
        let message = format!(
            "From bar {}{} to here{} there is too little rest: what is played, by height, loudness and length, weighs as much as \
             {:.0} s of mf on {} without a pause ({}). The lip tires. Give rests of several bars, or share the part. {}",
            first.number,
            which_time(began.time),
            which_time(pass.time),
            effort.lip.after,
            horn::middle_of_load(),
            ctx.tempo_words(note),
            horn::caution(),
        );
        findings.push(
            ctx.at_tempo(
                ctx.finding(&RULE, note.pitch_span, message, &capacity.source)
                    .at_bar(note.number)
                    .related(Some(first.pitch_span), "where it began"),
                note,
                most / capacity.value.0,
            ),
        );
    }
    findings
}
