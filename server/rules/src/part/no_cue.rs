//! `part/no-cue`: a long rest with nothing to hold on to.

use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::rule;
use crate::setting::{Kind, Setting, seconds};

static REST: Setting = Setting {
    name: "rest",
    what: "Seconds of rest after which an entry wants a cue.",
    kind: Kind::Seconds,
    default: |_| seconds(horn::rest_before_cue()),
};

rule! {
    /// A long rest without a word of what others play.
    ///
    /// ## Why it matters
    /// After a minute of counting a player is glad of a cue that shows what is played before the entry. If the rest is
    /// miscounted, the entry is missed or, worse, comes in the wrong place.
    ///
    /// ## What to write instead
    /// A few cue notes or a word in the last bars of the rest ("oboe solo"), and the rest divided at rehearsal marks.
    ///
    /// ## Source
    /// Common practice; after how long is bellhand's own choice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=60
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// c4 | Z24 | e4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=60
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// c4 | Z20 | "^clarinets" z4 | Z3 | e4 |]
    /// ```
    "part/no-cue", Hint, Part(check), settings: [REST]
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let longest = ctx.seconds(&RULE, &REST);
    let landmarks = ctx.landmarks();
    let notes = &ctx.part.notes;
    notes
        .iter()
        .zip(notes.iter().skip(1))
        .filter(|(before, after)| (after.starts - before.ends) >= longest.value)
        .filter(|(before, after)| {
            let end = before.onset + before.length;
            let next = landmarks.partition_point(|onset| *onset <= end);
            landmarks.get(next).is_none_or(|onset| *onset >= after.onset)
        })
        .map(|(before, after)| {
            let message = format!(
                "{:.0} s of rest come before {} in bar {} without a cue. After so long a player is glad to see what is played just before \
                 the entry. Add a few cue notes or a word.",
                (after.starts - before.ends).0,
                after.written,
                after.number,
            );
            ctx.at_tempo(
                ctx.finding(&RULE, after.pitch_span, message, &longest.source)
                    .at_bar(after.number),
                after,
                (after.starts - before.ends).0 / longest.value.0,
            )})
        .collect()
}
