//! `rip/too-few`: a rip with nothing to rip through.

use horn::Source;

use super::elsewhere::Elsewhere;
use crate::context::AmongContext;
use crate::finding::Finding;
use crate::rule::rule;

rule! {
    /// A rip between neighbours on the harmonic series: no note lies between.
    ///
    /// ## Why it matters
    /// The sweep of a rip is made by the partials that are brushed on the way. Low on the horn the partials lie
    /// far apart; when none lies between the two notes, the rip is only a slur.
    ///
    /// ## What to write instead
    /// Rip further, from an octave below the note it reaches for example (the first fix), or higher up, where the partials
    /// are closer; or write a slur.
    ///
    /// ## Source
    /// Computed from the harmonic series.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^gliss." C2 E2 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^gliss." (C2 c2) |]
    /// ```
    "rip/too-few", Warning, PlayerAmong(check), rests_on: Crook
}

fn check(ctx: &AmongContext<'_>) -> Vec<Finding> {
    ctx.part
        .sounding_rips()
        .filter_map(|(rip, from, to)| {
            let ways = horn::rips(ctx.instrument(), from.height, to.height);
            if ways.is_empty() || ways.iter().any(|way| !way.between().is_empty()) {
                return None;
            }
            let elsewhere = Elsewhere::of(ctx, from, to);
            let message = format!(
                "No partial of the horn lies between {} and {}, so this rip is only a slur: what makes a rip is the notes that \
                 are brushed on the way. {}",
                from.written,
                to.written,
                elsewhere.advice(ctx, "write a plain slur"),
            );
            let finding = ctx
                .finding(&RULE, rip.mark, message, &Source::Computed)
                .at_bar(from.number)
                .related(Some(to.pitch_span), "the note it reaches");
            Some(elsewhere.fixes(ctx, finding))
        })
        .collect()
}
