//! `rip/too-few`: a rip with nothing to rip through.

use horn::Source;
use score::Intent;

use super::off_series::ends;
use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::rule;

rule! {
    /// A rip between neighbours on the harmonic series: no note lies between.
    ///
    /// ## Why it matters
    /// The sweep of a rip is made by the partials that are brushed on the way. Low on the horn the partials lie
    /// far apart; when none lies between the two notes, the rip is only a slur.
    ///
    /// ## What to write instead
    /// Rip further, an octave for example, or start higher, where the partials are closer; or write a slur.
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
    "rip/too-few", Warning, Player(check)
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    ctx.part
        .sounding_rips()
        .filter_map(|(rip, from, to)| {
            let ways = horn::rips(ctx.instrument(), from.height, to.height);
            if ways.is_empty() || ways.iter().any(|way| !way.between().is_empty()) {
                return None;
            }
            let ends = ends(ctx, from, to);
            let further: Vec<String> = ends.iter().map(ToString::to_string).collect();
            let message = format!(
                "No partial of the horn lies between {} and {}, so this rip is only a slur. What makes a rip is the notes that are brushed on the way. Rip \
                 further{}, or write a slur.",
                from.written,
                to.written,
                if further.is_empty() {
                    String::new()
                } else {
                    format!(" (to {})", further.join(" or "))
                },
            );
            let mut finding = ctx
                .finding(&RULE, rip.mark, message, &Source::Computed)
                .at_bar(from.number)
                .related(Some(to.pitch_span), "the note it reaches");
            for end in ends {
                finding = finding.fix(
                    Safety::Review,
                    format!("End the rip on {end}"),
                    vec![Intent::MoveNote {
                        note: to.span,
                        to: end,
                    }],
                );
            }
            Some(finding)
        })
        .collect()
}
