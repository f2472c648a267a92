//! `marks/vague`: a mark that does not say whether something goes in or out.

use horn::{Instruction, Source};
use reading::Said;
use score::{Intent, NewMark};

use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::rule;
use crate::setting::{Kind, Setting, choice};

static PLUS: Setting = Setting {
    name: "plus",
    what: "Whether the sign + needs the word \"stopped\" at its first use in a part.",
    kind: Kind::Choice(&["sign", "word"]),
    default: |_| choice("sign", Source::ProjectChoice),
};

rule! {
    /// "Mute" without in or out, or, in a house that wants words, a + that nobody explains.
    ///
    /// ## Why it matters
    /// "Mute" over a note can be read as "put it in" or as "you are muted, remember". A bare + is stopping to a horn
    /// player, and something else to a timpanist or a pupil.
    ///
    /// ## What to write instead
    /// "con sord." or "mute in" (the fix), "senza sord." or "mute out". In a house with `plus = "word"`, "stopped" over
    /// the first +.
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
    /// "^mute" c d e f | z4 | z4 | "^mute out" c4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^mute in" c d e f | z4 | z4 | "^mute out" c4 |]
    /// ```
    "marks/vague", Information, Part(check), settings: [PLUS]
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let mut findings: Vec<Finding> = ctx
        .part
        .marks
        .iter()
        .filter(|mark| *mark.said.instruction() == Instruction::MuteOn && mark.alone)
        .filter(|mark| {
            mark.words.as_deref()
                .is_some_and(|words| words.trim().trim_end_matches('.').eq_ignore_ascii_case("mute"))
        })
        .map(|mark| {
            ctx.finding(
                &RULE,
                mark.span,
                "\"Mute\" does not say whether it goes in or out. The player has to work it out from what comes before. \
                 Write \"con sord.\" or \"mute in\"."
                    .to_owned(),
                &Source::CommonPractice,
            )
            .at_bar(mark.number)
            .fix(
                Safety::Safe,
                "Write \"con sord.\"".to_owned(),
                vec![Intent::ReplaceMark {
                    mark: mark.span,
                    with: NewMark::Words("con sord.".to_owned()),
                }],
            )
        })
        .collect();
    let wanted = ctx.choice(&RULE, &PLUS);
    if wanted.value == "word" {
        findings.extend(unexplained_plus(ctx, &wanted.source));
    }
    findings
}

/// The first + of a part in which no word says what it is.
fn unexplained_plus(ctx: &PartContext<'_>, source: &Source) -> Option<Finding> {
    let first = ctx
        .part
        .marks
        .iter()
        .find(|mark| *mark.said.instruction() == Instruction::Stopped)?;
    if !matches!(first.said, Said::Sign(_)) {
        return None;
    }
    let message = "This + stands without a word that explains it. In this house the first one says \"stopped\". Write the \
                   word over it.";
    Some(
        ctx.finding(&RULE, first.span, message.to_owned(), source)
            .at_bar(first.number),
    )
}
