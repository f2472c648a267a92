//! `breath/no-place`: a stretch longer than a breath.

use std::collections::HashSet;

use horn::AirUse;
use reading::which_time;
use theory::TempoSource;

use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::{Severity, rule};
use crate::setting::{Kind, Setting, number, seconds};

pub(crate) static SOFT: Setting = Setting {
    name: "soft",
    what: "Seconds a breath lasts at p and softer, from written C4 to C5 (horn in F).",
    kind: Kind::Seconds,
    default: |level| seconds(horn::breath_lasts(AirUse::Soft, level)),
};

pub(crate) static MEDIUM: Setting = Setting {
    name: "medium",
    what: "Seconds a breath lasts at mp and mf, or where no dynamic stands.",
    kind: Kind::Seconds,
    default: |level| seconds(horn::breath_lasts(AirUse::Medium, level)),
};

pub(crate) static LOUD: Setting = Setting {
    name: "loud",
    what: "Seconds a breath lasts at f and louder.",
    kind: Kind::Seconds,
    default: |level| seconds(horn::breath_lasts(AirUse::Loud, level)),
};

pub(crate) static REST: Setting = Setting {
    name: "rest",
    what: "The shortest rest, in seconds, in which a player breathes.",
    kind: Kind::Seconds,
    default: |_| seconds(horn::time_to_breathe()),
};

pub(crate) static LOW: Setting = Setting {
    name: "low",
    what: "What part of those seconds a breath lasts on written C3 (horn in F) and lower; it falls evenly from C4.",
    kind: Kind::Number("of a breath"),
    default: |_| number(horn::breath_low(), "of a breath"),
};

pub(crate) static HIGH: Setting = Setting {
    name: "high",
    what: "What part of those seconds a breath lasts on written A5 (horn in F) and higher; it rises evenly from C5.",
    kind: Kind::Number("of a breath"),
    default: |_| number(horn::breath_high(), "of a breath"),
};

static SNATCHED: Setting = Setting {
    name: "snatched",
    what: "How many breaths' worth a line may go on where notes begin anew and air can be snatched.",
    kind: Kind::Number("breaths"),
    default: |_| number(horn::breaths_with_snatching(), "breaths"),
};

rule! {
    /// Playing on without a rest or a breath mark, longer than a breath lasts.
    ///
    /// ## Why it matters
    /// A horn player who finds no place to breathe makes one: a note is cut short somewhere, and in a section each player
    /// cuts a different one. Under a slur or on a held note there is no place at all, and the tone gives out. A fermata that
    /// no tie or slur leads on from is a place to breathe.
    ///
    /// ## What to write instead
    /// Put a rest or a breath mark where the phrase allows, let two horns take turns, or shorten what is held.
    ///
    /// ## Source
    /// That winds need rests: Rimsky-Korsakov, *Principles of Orchestration* (English edition 1922), pp. 19 and 26.
    /// No table of seconds is published for the horn; measured flow of wind players (Wolfe, University of New South
    /// Wales) allows 5 to 50 s a breath. That loud and low notes take more air: common practice. The seconds are this
    /// project's choice and yours to set.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/1
    /// Q:1/4=60
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !f!c- | c- | c- | c- | c |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/1
    /// Q:1/4=60
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !f!c- | !breath!c | c- | c |]
    /// ```
    "breath/no-place", Information, Player(check), settings: [SOFT, MEDIUM, LOUD, LOW, HIGH, REST, SNATCHED], rests_on: Crook
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let [soft, medium, loud] = [&SOFT, &MEDIUM, &LOUD].map(|setting| ctx.seconds(&RULE, setting));
    let snatched = ctx.number(&RULE, &SNATCHED).value.max(1.0);
    // What each stretch between two breaths has spent by its end.
    let mut spent: Vec<(usize, f64)> = Vec::new();
    for (_, pass) in ctx.part.played() {
        let breath = pass.effort.breath;
        match spent.last_mut().filter(|(since, _)| *since == breath.since) {
            Some((_, most)) => *most = most.max(breath.after),
            None => spent.push((breath.since, breath.after)),
        }
    }
    let mut findings = Vec::new();
    let mut told = None;
    // The same stretch of the page is told once, however often it is played.
    let mut told_from = HashSet::new();
    for (note, pass) in ctx.part.played() {
        let effort = &pass.effort;
        let since = effort.breath.since;
        let enough = if effort.snatched { snatched } else { 1.0 };
        if effort.breath.after <= enough + 1e-6 || told == Some(since) {
            continue;
        }
        told = Some(since);
        let began = ctx.part.passes.get(since).unwrap_or(pass);
        if !told_from.insert(began.note) {
            continue;
        }
        let first = ctx.part.notes.get(began.note).unwrap_or(note);
        let longest = spent
            .binary_search_by_key(&since, |(since, _)| *since)
            .map_or(effort.breath.after, |at| spent[at].1);
        let lasts = match AirUse::of(note.marked.dynamic.map(|(dynamic, _)| dynamic)) {
            AirUse::Soft => &soft,
            AirUse::Medium => &medium,
            AirUse::Loud => &loud,
        };
        let played = (pass.ends - began.starts).0;
        let how = if effort.snatched {
            "The player will snatch a breath somewhere, and cut a note short for it."
        } else {
            "All of it is held or slurred, so there is nowhere even to snatch a breath."
        };
        // At a tempo that no number gives nobody can be sure.
        let guessed = ctx.tempo.tempo(first.onset).1 != TempoSource::Marked;
        let severity = if effort.snatched || guessed {
            Severity::Information
        } else {
            Severity::Warning
        };
        let message = format!(
            "No place to breathe from {} in bar {}{} to here{}: {played:.0} s without rest or breath mark ({}). As loud and as high \
             as this line lies, a breath lasts about {:.0} s. {how} Write a rest or a breath mark, or let two horns take \
             turns.",
            first.written,
            first.number,
            which_time(began.time),
            which_time(pass.time),
            ctx.tempo_words(first),
            played / effort.breath.after,
        );
        findings.push(
            ctx.at_tempo(
                ctx.finding(&RULE, note.pitch_span, message, &lasts.source)
                    .at_bar(note.number)
                    .graver(severity)
                    .related(
                        Some(first.pitch_span),
                        "the first note after the last breath",
                    ),
                first,
                longest / enough,
            ),
        );
    }
    findings
}
