//! `bell/no-time`: no time to raise the bell or lower it.

use horn::Instruction;

use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::{Severity, rule};
use crate::setting::{Kind, Setting, seconds};

static UP: Setting = Setting {
    name: "up",
    what: "Seconds a player needs to take the hand out and raise the bell.",
    kind: Kind::Seconds,
    default: |_| seconds(horn::time_to_raise_bells()),
};

static DOWN: Setting = Setting {
    name: "down",
    what: "Seconds a player needs to lower the bell and put the hand back.",
    kind: Kind::Seconds,
    default: |_| seconds(horn::time_to_lower_bells()),
};

rule! {
    /// Too little rest to raise the bells or to lower them.
    ///
    /// ## Why it matters
    /// For "bells up" the right hand leaves the bell, takes hold of the rim and lifts; the horn moves on the lips, and
    /// without the hand the pitch rises. If it is done while playing, notes crack at the change.
    ///
    /// ## What to write instead
    /// Put the words in a rest, or give the horn a rest there. A second or so is enough.
    ///
    /// ## Source
    /// That the hand comes out for it: common practice. No published time was found; the seconds are this project's
    /// choice and yours to set.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=120
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !f!e c d e | "^bells up" g4 | z4 | "^bells down" c4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=120
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !f!e c z2 | "^bells up" g4 | z4 | "^bells down" c4 |]
    /// ```
    "bell/no-time", Warning, Player(check), settings: [UP, DOWN]
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let notes = &ctx.part.notes;
    let mut findings = Vec::new();
    for mark in &ctx.part.marks {
        let rises = match mark.said.instruction() {
            Instruction::BellsUp => true,
            Instruction::BellsNormal => false,
            _ => continue,
        };
        if rises == mark.before.bell_up {
            continue;
        }
        let last = mark.last_note.and_then(|index| notes.get(index));
        let next = mark.next_note.and_then(|index| notes.get(index));
        let (Some(last), Some(next)) = (last, next) else {
            continue;
        };
        let needed = ctx.seconds(&RULE, if rises { &UP } else { &DOWN });
        let free = (next.starts - last.ends).0.max(0.0);
        if free >= needed.value.0 {
            continue;
        }
        let rest = if free < 0.05 {
            "There is no rest".to_owned()
        } else {
            format!("There are only {free:.1} s of rest")
        };
        let doing = if rises {
            "raise the bell"
        } else {
            "lower the bell and put the hand back"
        };
        let message = format!(
            "{rest} to {doing} before {} in bar {}. It takes about {} s ({}); if it is done while playing, notes crack. Put it in a rest, \
             or leave the bell as it is.",
            next.written,
            next.number,
            needed.value.0,
            ctx.tempo_words(next),
        );
        // With some rest a practised section manages; with none it shows.
        let severity = if free < 0.05 {
            Severity::Warning
        } else {
            Severity::Information
        };
        findings.push(
            ctx.at_tempo(
                ctx.finding(&RULE, mark.span, message, &needed.source)
                    .at_bar(mark.number)
                    .graver(severity)
                    .related(Some(last.span), "the last note before the change")
                    .related(Some(next.span), "the first note after the change"),
                next,
                free / needed.value.0,
            ),
        );
    }
    findings
}
