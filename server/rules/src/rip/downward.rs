//! `rip/downward`: a rip that goes down.

use horn::Source;

use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::rule;

rule! {
    /// A rip downward.
    ///
    /// ## Why it matters
    /// Upward, a rip gathers air and speed and bursts into its top note. Downward the lip lets go instead: the
    /// partials drop away one by one, the sound sinks, and little of it is heard.
    ///
    /// ## What to write instead
    /// Rip upward into the note that matters; or write a slur or a short fall, and expect something modest.
    ///
    /// ## Source
    /// A rip leads from the lower note to the upper: common practice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^gliss." (g2 G2) |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^gliss." (G2 g2) |]
    /// ```
    "rip/downward", Information, Player(check)
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    ctx.part
        .sounding_rips()
        .filter_map(|(rip, from, to)| {
            if to.height >= from.height {
                return None;
            }
            let message = format!(
                "This rip goes down, from {} to {}. Upward a rip bursts into its top note; downward the lip lets go, and \
                 little of it is heard. Rip upward, or write a slur.",
                from.written, to.written,
            );
            Some(
                ctx.finding(&RULE, rip.mark, message, &Source::CommonPractice)
                    .at_bar(from.number)
                    .related(Some(to.pitch_span), "the note it reaches"),
            )
        })
        .collect()
}
