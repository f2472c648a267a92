//! `mute/no-time`: no time to put the mute in or take it out.

use reading::{Technique, which_time};

use crate::change::{Change, Changeable};
use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::rule;
use crate::setting::{Kind, Setting, seconds};

use super::{by_hand, change};

static INSERT: Setting = Setting {
    name: "insert",
    what: "Seconds a player needs to put the mute in.",
    kind: Kind::Seconds,
    default: |_| seconds(horn::time_to_insert()),
};

static REMOVE: Setting = Setting {
    name: "remove",
    what: "Seconds a player needs to take the mute out.",
    kind: Kind::Seconds,
    default: |_| seconds(horn::time_to_remove()),
};

rule! {
    /// Too little rest to put the mute in or take it out.
    ///
    /// ## Why it matters
    /// The right hand leaves the bell, finds the mute, seats it or pulls it, and comes back. Without a rest long
    /// enough the player drops notes, drops the mute, or stops the passage by hand instead.
    ///
    /// ## What to write instead
    /// Give the horn a rest there, let another horn play the notes on one side of the change, or have the
    /// passage stopped by hand (the fix, where all of it can be).
    ///
    /// ## Source
    /// At least a couple of beats of rest, and better more: Ericson, "Composers who can't write for the horn" (Horn Matters,
    /// 2008), who also says that players stop by hand where there is no time. No published time in seconds was found for
    /// the horn; the seconds are bellhand's own choice and yours to set.
    /// Time is counted from the tempo marks, along the performance with its repeats; where there are none, the assumed tempo
    /// is said.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=120
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// e c d z | "^con sord." e4 | z4 | z4 | "^senza sord." c4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=120
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// e c d z | z4 | z4 | "^con sord." e4 | z4 | z4 | "^senza sord." c4 |]
    /// ```
    "mute/no-time", Warning, Player(check), settings: [INSERT, REMOVE]
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let mute = Changeable {
        is_on: Technique::muted,
        set_by: |technique| technique.mute_mark,
        asked: change::asked,
    };
    let changes = ctx.changes(&mute).into_iter();
    changes.filter_map(|change| hurried(ctx, change)).collect()
}

/// What is said of a change for which there is too little time.
fn hurried(ctx: &PartContext<'_>, change: Change<'_>) -> Option<Finding> {
    let Change { mark, next, .. } = change;
    let needed = ctx.seconds(&RULE, if change.on { &INSERT } else { &REMOVE });
    if change.rest >= needed.value {
        return None;
    }
    let (doing, instead) = if change.on {
        (
            "put the mute in",
            ", share the line with another horn, or have it stopped by hand",
        )
    } else {
        ("take the mute out", ", or share the line with another horn")
    };
    let rest = change.rest_in_words();
    let message = format!(
        "{rest} to {doing} before {} in bar {}{}. The right hand needs about {} s for it ({}). Give the horn more rest \
         there{instead}.",
        next.written,
        next.number,
        which_time(change.time),
        needed.value.0,
        ctx.tempo_words(next),
    );
    let finding = change.hurried(ctx, &RULE, message, &needed);
    Some(match by_hand::instead(ctx, mark) {
        Some(intents) => finding.fix(
            Safety::Review,
            "Have the passage stopped by hand instead".to_owned(),
            intents,
        ),
        None => finding,
    })
}
