//! `breath/no-place`: a stretch longer than a breath.

use horn::AirUse;
use reading::PlayedNote;
use theory::TempoSource;

use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::{Severity, rule};
use crate::setting::{Kind, Setting, number, seconds};

static SOFT: Setting = Setting {
    name: "soft",
    what: "Seconds a breath lasts at p and softer.",
    kind: Kind::Seconds,
    default: |level| seconds(horn::breath_lasts(AirUse::Soft, level)),
};

static MEDIUM: Setting = Setting {
    name: "medium",
    what: "Seconds a breath lasts at mp and mf, or where no dynamic stands.",
    kind: Kind::Seconds,
    default: |level| seconds(horn::breath_lasts(AirUse::Medium, level)),
};

static LOUD: Setting = Setting {
    name: "loud",
    what: "Seconds a breath lasts at f and louder.",
    kind: Kind::Seconds,
    default: |level| seconds(horn::breath_lasts(AirUse::Loud, level)),
};

static REST: Setting = Setting {
    name: "rest",
    what: "The shortest rest, in seconds, in which a player breathes.",
    kind: Kind::Seconds,
    default: |_| seconds(horn::time_to_breathe()),
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
    /// A horn player who finds no place to breathe makes one: a note is cut short somewhere, and in a section
    /// everybody cuts another. Under a slur or on a held note there is nowhere at all, and the tone gives out.
    ///
    /// ## What to write instead
    /// Put a rest or a breath mark where the phrase allows, let two horns take turns, or shorten what is held.
    ///
    /// ## Source
    /// That winds need rests: Rimsky-Korsakov, *Principles of Orchestration* (English edition 1922), pp. 19 and 26.
    /// No table of seconds is published for the horn; measured flow of wind players (Wolfe, University of New South
    /// Wales) allows 5 to 50 s a breath. The seconds are this project's choice and yours to set.
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
    "breath/no-place", Information, Part(check), settings: [SOFT, MEDIUM, LOUD, REST, SNATCHED]
}

/// A stretch played in one breath so far.
struct Stretch<'a> {
    first: &'a PlayedNote,
    /// How much of a breath is spent; 1 is all.
    spent: f64,
    /// Whether some note in it begins anew, so that a breath can be snatched before it.
    broken: bool,
    told: bool,
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let rest = ctx.seconds(&RULE, &REST).value.0;
    let [soft, medium, loud] = [&SOFT, &MEDIUM, &LOUD].map(|setting| ctx.seconds(&RULE, setting));
    let snatched = ctx.number(&RULE, &SNATCHED).value.max(1.0);
    let mut findings = Vec::new();
    let mut stretch: Option<Stretch<'_>> = None;
    let mut before: Option<&PlayedNote> = None;
    for note in ctx.part.notes.iter().filter(|note| note.leads()) {
        let breathed = before.is_none_or(|before| {
            before.breath.is_some() || (note.starts - before.ends).0 >= rest - 1e-6
        });
        let mut now = stretch.take().filter(|_| !breathed).unwrap_or(Stretch {
            first: note,
            spent: 0.0,
            broken: false,
            told: false,
        });
        now.broken |= !std::ptr::eq(now.first, note)
            && !note.tied_from
            && before.is_some_and(|before| !before.slurred_to_next);
        let lasts = match AirUse::of(note.dynamic.map(|(dynamic, _)| dynamic)) {
            AirUse::Soft => soft,
            AirUse::Medium => medium,
            AirUse::Loud => loud,
        };
        now.spent += (note.ends - note.starts).0 / lasts.value.0.max(0.1);
        let enough = if now.broken { snatched } else { 1.0 };
        if now.spent > enough + 1e-6 && !now.told {
            now.told = true;
            let played = (note.ends - now.first.starts).0;
            let how = if now.broken {
                "Players will snatch a breath somewhere and cut a note for it."
            } else {
                "All of it is held or slurred, so there is nowhere even to snatch one."
            };
            // At an assumed tempo nobody can be sure.
            let assumed = ctx.reading.tempo.tempo(now.first.onset).1 == TempoSource::Assumed;
            let severity = if now.broken || assumed {
                Severity::Information
            } else {
                Severity::Warning
            };
            let message = format!(
                "No place to breathe from {} in bar {} to here: {played:.0} s without rest or breath mark ({}). At this \
                 dynamic a breath lasts about {:.0} s. {how} Write a rest or a breath mark, or let two horns take turns.",
                now.first.written,
                now.first.number,
                ctx.tempo_words(now.first),
                lasts.value.0,
            );
            findings.push(
                ctx.finding(&RULE, note.pitch_span, message, &lasts.source)
                    .at_bar(note.number)
                    .graver(severity)
                    .related(
                        Some(now.first.pitch_span),
                        "the first note after the last breath",
                    ),
            );
        }
        stretch = Some(now);
        before = Some(note);
    }
    findings
}
