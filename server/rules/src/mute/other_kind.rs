//! `mute/other-kind`: a mute that horns do not have.

use horn::{Instruction, Source};
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
            let message = format!(
                "A {kind} is not a horn player's. Horns have one kind of mute, much like a straight mute, and no other \
                 will be in the room. Write \"con sord.\""
            );
            let finding = ctx
                .finding(&RULE, mark.span, message, &Source::CommonPractice)
                .at_bar(mark.number);
            Some(if mark.alone {
                finding.fix(
                    Safety::Review,
                    "Write \"con sord.\" instead".to_owned(),
                    vec![Intent::ReplaceMark {
                        mark: mark.span,
                        with: NewMark::Words("con sord.".to_owned()),
                    }],
                )
            } else {
                finding
            })
        })
        .collect()
}
