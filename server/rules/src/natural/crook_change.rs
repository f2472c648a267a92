//! `natural/crook-change`: no time to change the crook.

use reading::{CrookInForce, PlayedNote, which_time};
use score::Span;

use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::rule;
use crate::setting::{Kind, Setting, seconds};

static CHANGE: Setting = Setting {
    name: "change",
    what: "Seconds a player needs to change the crook of a natural horn.",
    kind: Kind::Seconds,
    default: |_| seconds(horn::time_to_change_crook()),
};

rule! {
    /// Too little rest to change the crook of a natural horn.
    ///
    /// ## Why it matters
    /// To change key, the player of a horn without valves takes one loop of tubing out, puts another in and tunes it; the
    /// new tube is cold and has to be warmed with a breath or two. Without time for that the entry is missed or out of
    /// tune.
    ///
    /// ## What to write instead
    /// Give a longer rest, let the other pair of horns, crooked in the new key, play the passage, or name a horn
    /// with valves.
    ///
    /// ## Source
    /// That crooks are changed in a rest: common practice. No published time was found; the seconds are this
    /// project's choice and yours to set.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=60
    /// K:none
    /// V:1 name="Natural horn in D" transpose=-10
    /// c e g2 | z4 | "^muta in E" z4 | [K:none transpose=-8] c e g2 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=60
    /// K:none
    /// V:1 name="Natural horn in D" transpose=-10
    /// c e g2 | z4 | "^muta in E" z4 | Z4 | [K:none transpose=-8] c e g2 |]
    /// ```
    "natural/crook-change", Warning, Part(check), settings: [CHANGE]
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let part = ctx.part;
    if !part.seat.name.natural {
        return Vec::new();
    }
    let notes = &part.notes;
    let mut before = &part.crook;
    // Changes and notes both stand in the order of time.
    let mut begun = 0;
    let mut findings = Vec::new();
    for (onset, crook, span) in &part.crook_changes {
        let same = before.transposition == crook.transposition;
        before = crook;
        while notes.get(begun).is_some_and(|note| note.onset < *onset) {
            begun += 1;
        }
        let last = begun.checked_sub(1).and_then(|last| notes.get(last));
        let next = notes.get(begun);
        let (false, Some(last), Some(next)) = (same, last, next) else {
            continue;
        };
        let free = (next.starts - last.ends).0.max(0.0);
        findings.extend(hurried(ctx, crook, *span, [last, next], 1, free));
    }
    for jump in &part.jumps {
        let (Some(last), Some(next)) = (notes.get(jump.last), notes.get(jump.next)) else {
            continue;
        };
        let crook = part.crook_at(next.onset);
        if part.crook_at(last.onset).transposition != crook.transposition {
            let (span, free) = (next.pitch_span, jump.rest.0);
            findings.extend(hurried(ctx, crook, span, [last, next], jump.time, free));
        }
    }
    findings
}

/// What is said of a change to a crook between two notes, the second played that `time`, for which there is too little time.
fn hurried(
    ctx: &PartContext<'_>,
    crook: &CrookInForce,
    span: Span,
    [last, next]: [&PlayedNote; 2],
    time: u32,
    free: f64,
) -> Option<Finding> {
    let needed = ctx.seconds(&RULE, &CHANGE);
    if free >= needed.value.0 {
        return None;
    }
    let message = format!(
        "There are only {free:.1} s to change to a {} before {} in bar {}{}; changing the crook of a natural horn takes about {:.0} s \
         ({}). Give a longer rest, or give the passage to a horn that already has that crook in.",
        crook.label(),
        next.written,
        next.number,
        which_time(time),
        needed.value.0,
        ctx.tempo_words(next),
    );
    let finding = ctx
        .finding(&RULE, span, message, &needed.source)
        .at_bar(next.number)
        .related(Some(last.span), "the last note before the change")
        .related(Some(next.span), "the first note after the change");
    Some(ctx.at_tempo(finding, next, free / needed.value.0))
}
