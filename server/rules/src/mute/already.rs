//! `mute/already`: in when it is in, out when it is out.

use horn::{Instruction, Source};
use reading::PlayedMark;
use score::Intent;

use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::rule;

rule! {
    /// A mark that puts the mute in when it is in, or takes it out when it is out.
    ///
    /// ## Why it matters
    /// A player who reads "senza sord." with no mute in the bell wonders which mark was missed. Often the one
    /// that really is missing stands somewhere before. A mark that one pass of a repeat needs is not needless.
    ///
    /// ## What to write instead
    /// Take the mark out (the fix), or write the one that is missing before it.
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
    /// e c d e | "^senza sord." c4 |]
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
    "mute/already", Information, Player(check)
}

/// Whether a mark only reminds of what holds: in brackets, or with "sempre". After a rest players want it.
fn reminds(mark: &PlayedMark) -> bool {
    let words = mark.words.as_deref().unwrap_or_default().to_lowercase();
    let words = words.trim();
    let still = ["sempre", "still", "immer", "toujours", "siempre", "noch"];
    // A mute that is only named is asked about by `marks/vague`.
    horn::names_mute_alone(words)
        || words.starts_with(['(', '['])
        || still.iter().any(|word| words.contains(word))
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    ctx.part
        .marks
        .iter()
        .filter_map(|mark| {
            // What one pass of a repeat can do without, another may need.
            let changes = |into: bool| mark.every_before().any(|held| held.muted() != into);
            let message = match (mark.said.instruction(), mark.before.muted()) {
                (Instruction::MuteOn, true) if reminds(mark) || changes(true) => return None,
                (Instruction::MuteOff, false) if changes(false) => return None,
                (Instruction::MuteOn, true) => {
                    "The mute is already in. The player wonders where it should have come out. Take this mark out, or \
                     write the \"senza sord.\" that is missing before it."
                }
                (Instruction::MuteOff, false) => {
                    "There is no mute in to take out. The player wonders which mark was missed. Take this mark out, or \
                     write the \"con sord.\" that is missing before it."
                }
                _ => return None,
            };
            let finding = ctx
                .finding(&RULE, mark.span, message.to_owned(), &Source::CommonPractice)
                .at_bar(mark.number)
                .left_out()
                .related(mark.before.mute_mark, "the mark that holds already");
            Some(if mark.alone {
                finding.fix(
                    Safety::Safe,
                    "Take the needless mark out".to_owned(),
                    vec![Intent::RemoveMark { mark: mark.span }],
                )
            } else {
                finding
            })
        })
        .collect()
}
