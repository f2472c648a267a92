//! `bell/no-time`: no time to raise the bell or lower it.

use horn::Instruction;
use reading::which_time;

use crate::change::{Change, Changeable, is_no_rest};
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
    let bell = Changeable {
        is_on: |technique| technique.bell_up,
        set_by: |technique| technique.bell_mark,
        asked: |mark| match mark.said.instruction() {
            Instruction::BellsUp => Some(true),
            Instruction::BellsNormal => Some(false),
            _ => None,
        },
    };
    let changes = ctx.changes(&bell).into_iter();
    changes.filter_map(|change| hurried(ctx, change)).collect()
}

/// What is said of a change for which there is too little time.
fn hurried(ctx: &PartContext<'_>, change: Change<'_>) -> Option<Finding> {
    let next = change.next;
    let needed = ctx.seconds(&RULE, if change.on { &UP } else { &DOWN });
    if change.rest >= needed.value {
        return None;
    }
    let rest = change.rest_in_words();
    let doing = if change.on {
        "raise the bell"
    } else {
        "lower the bell and put the hand back"
    };
    let message = format!(
        "{rest} to {doing} before {} in bar {}{}. It takes about {} s ({}); if it is done while playing, notes crack. Put it \
         in a rest, or leave the bell as it is.",
        next.written,
        next.number,
        which_time(change.time),
        needed.value.0,
        ctx.tempo_words(next),
    );
    // With some rest a practised section manages; with none it shows.
    let severity = if is_no_rest(change.rest) {
        Severity::Warning
    } else {
        Severity::Information
    };
    Some(
        change
            .hurried(ctx, &RULE, message, &needed)
            .graver(severity),
    )
}
