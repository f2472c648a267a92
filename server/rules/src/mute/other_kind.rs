//! `mute/other-kind`: a mute that horns do not have.

use horn::{Instruction, Source, Wording};
use score::{Intent, NewMark};

use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::rule;

rule! {
    /// A mute asked of the horn that belongs to other instruments.
    ///
    /// ## Why it matters
    /// Horn players own one kind of mute, much like a straight mute. Cup, harmon, bucket and plunger are the
    /// trumpet's and trombone's; none will be in the room, and the player uses the ordinary mute or asks.
    ///
    /// ## What to write instead
    /// "con sord." or "mute" (the fix). For a distant, nasal colour think of stopping by hand.
    ///
    /// ## Source
    /// Common practice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^cup mute" e c d e | z4 | z4 | "^senza sord." c4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^con sord." e c d e | z4 | z4 | "^senza sord." c4 |]
    /// ```
    "mute/other-kind", Warning, Player(check)
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    ctx.part
        .marks
        .iter()
        .filter_map(|mark| {
            let Instruction::ForeignMute(kind) = mark.said.instruction() else {
                return None;
            };
            // The name of a mute is of no language that the part has chosen.
            let instead = ctx.word(Wording::MuteIn, None);
            let message = format!(
                "A {kind} is not a horn player's. Horns have one kind of mute, much like a straight mute, and no other \
                 will be in the room. Write \"{instead}\""
            );
            let finding = ctx
                .finding(&RULE, mark.span, message, &Source::CommonPractice)
                .at_bar(mark.number);
            Some(if mark.alone {
                finding.fix(
                    Safety::Review,
                    format!("Write \"{instead}\" instead"),
                    vec![Intent::ReplaceMark {
                        mark: mark.span,
                        with: NewMark::Words(instead),
                    }],
                )
            } else {
                finding
            })
        })
        .collect()
}
