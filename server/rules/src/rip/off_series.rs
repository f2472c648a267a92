//! `rip/off-series`: a rip whose two notes share no tube.

use horn::Source;

use super::elsewhere::Elsewhere;
use crate::context::AmongContext;
use crate::finding::Finding;
use crate::rule::rule;

rule! {
    /// A rip between two notes that no one fingering carries.
    ///
    /// ## Why it matters
    /// A rip is a fast slur through the harmonic series of one fingering. Both its ends must be partials of the
    /// same tube; otherwise the player has to change valves on the way, and the sweep breaks.
    ///
    /// ## What to write instead
    /// Start it an octave below the note it reaches, or end it on another note of the harmony that lies on one series
    /// with the start (the fixes). A rip is played late, at the end of the lower note.
    ///
    /// ## Source
    /// Common practice for what a rip is; which notes share a tube is computed from the harmonic series and agrees
    /// with Smalley, *Double Horn Fingering Dictionary* (2025).
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^gliss." G2 ^c2 |]
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
    "rip/off-series", Warning, PlayerAmong(check), rests_on: Crook
}

fn check(ctx: &AmongContext<'_>) -> Vec<Finding> {
    ctx.part
        .sounding_rips()
        .filter_map(|(rip, from, to)| {
            if from.height == to.height || !horn::rips(ctx.instrument(), from.height, to.height).is_empty() {
                return None;
            }
            let elsewhere = Elsewhere::of(ctx, from, to);
            let message = format!(
                "{} and {} lie on no common harmonic series. No single fingering rips from one to the other: the valves would \
                 have to change on the way, and the sweep breaks. {}",
                from.written,
                to.written,
                elsewhere.advice(ctx, "write the notes out"),
            );
            let finding = ctx
                .finding(&RULE, rip.mark, message, &Source::CommonPractice)
                .at_bar(from.number)
                .related(Some(to.pitch_span), "the note it should reach");
            Some(elsewhere.fixes(ctx, finding))
        })
        .collect()
}
