//! `stopped/single-b-flat`: stopping on a horn that has no F side.

use horn::{Side, StoppedBy};
use reading::Hand;

use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::rule;

rule! {
    /// Stopped notes in a part that is played on a single B flat horn.
    ///
    /// ## Why it matters
    /// Closing the bell raises the F side by a semitone, so a player with an F side fingers a semitone lower and is
    /// in tune. On the B flat side it raises the note by about three quarters of a tone: whatever is fingered, the
    /// stopped note lies about a quarter of a tone off. Only a stopping valve, which some single B flat horns have,
    /// makes up for it.
    ///
    /// ## What to write instead
    /// Make sure that the player has a stopping valve; or have the passage muted, or played on a horn with an F side.
    ///
    /// ## Source
    /// About three quarters of a tone, out of tune, and the stopping valve: banddirectorstalkshop.com. It is told
    /// once for a part, and only where `bellhand.toml` or a comment says that the horn is a single B flat.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// % bellhand: part 1 = horn in F, single B flat
    /// "^stopped" e c A "^open" c |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^stopped" e c A "^open" c |]
    /// ```
    "stopped/single-b-flat", Warning, Player(check), rests_on: Crook
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let instrument = ctx.instrument();
    if horn::stopped_by(instrument).value != StoppedBy::StoppingValve {
        return Vec::new();
    }
    let Some(rise) = horn::hand_raises(Side::BFlat) else {
        return Vec::new();
    };
    let stopped = |hand: Hand| hand == Hand::Stopped;
    let first = ctx
        .part
        .notes
        .iter()
        .find(|note| stopped(note.technique.hand));
    let Some(first) = first else {
        return Vec::new();
    };
    let nearest = horn::hand_stopped(instrument, first.height)
        .first()
        .map(|way| {
            format!(
                " (for {} the nearest is the fingering of the open {}, {} cents {})",
                first.written,
                ctx.on_page(way.open, first),
                way.cents.abs(),
                if way.cents > 0 { "sharp" } else { "flat" },
            )
        })
        .unwrap_or_default();
    let message = format!(
        "This part is played on a {instrument} horn, which has no F side to stop on. The hand raises its notes by about \
         three quarters of a tone, and no fingering puts that in tune{nearest}. Make sure that the player has a stopping \
         valve; or have it muted, or played on a horn with an F side.",
    );
    vec![
        ctx.finding(
            &RULE,
            first.technique.hand_mark.unwrap_or(first.pitch_span),
            message,
            &rise.source,
        )
        .at_bar(first.number)
        .related(Some(first.pitch_span), "the first stopped note"),
    ]
}
