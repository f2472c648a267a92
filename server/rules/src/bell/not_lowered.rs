//! `bell/not-lowered`: a bell that nothing brings down again.

use horn::{Instruction, Source, Wording};
use score::{Intent, NewMark};

use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::rule;
use crate::setting::{Kind, Setting, seconds};

static REST: Setting = Setting {
    name: "rest",
    what: "Seconds of rest after which a player no longer knows whether the bell stays up.",
    kind: Kind::Seconds,
    default: |_| seconds(horn::rest_that_lowers_bells()),
};

rule! {
    /// Bells up that is never taken back, with music still to come after a rest.
    ///
    /// ## Why it matters
    /// Nobody holds the horn in the air through a rest. When the next entry comes and nothing has been said, each
    /// player guesses: some bells are up and some are down, which is seen and heard.
    ///
    /// ## What to write instead
    /// Write "bells down" where the raised passage ends (the fix). If the bell is to go up again, write "bells up" again,
    /// and if it stays up to the last note, "bells up to the end".
    ///
    /// ## Source
    /// That the bell comes down again: common practice. After how long a rest players begin to doubt is this project's
    /// choice and yours to set.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=120
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// z4 | "^bells up" !f!g4 | z4 | c4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=120
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// z4 | "^bells up" !f!g4 | z3 c | g4 |]
    /// ```
    "bell/not-lowered", Warning, Player(check), settings: [REST]
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let long = ctx.seconds(&RULE, &REST);
    let mut bells = ctx
        .part
        .marks
        .iter()
        .filter(|mark| {
            matches!(
                mark.said.instruction(),
                Instruction::BellsUp | Instruction::BellsNormal
            )
        })
        .peekable();
    let mut findings = Vec::new();
    while let Some(mark) = bells.next() {
        let next = bells.peek();
        let lowered =
            next.is_some_and(|next| matches!(next.said.instruction(), Instruction::BellsNormal));
        if matches!(mark.said.instruction(), Instruction::BellsNormal)
            || lowered
            || PartContext::says_to_the_end(mark)
        {
            continue;
        }
        let Some(first) = mark.next_note else {
            continue;
        };
        // Another "bells up" at the first note after the rest says what holds there.
        let end = next
            .and_then(|next| next.next_note)
            .unwrap_or(ctx.part.notes.len());
        let raised = ctx.part.notes.get(first..end).unwrap_or_default();
        let doubtful = raised
            .iter()
            .zip(raised.iter().skip(1))
            .find(|(before, after)| {
                after.leads() && (after.starts - before.ends).0 >= long.value.0 - 1e-6
            });
        let Some((before, after)) = doubtful else {
            continue;
        };
        let (up, down) = (
            ctx.word(Wording::BellsUp, mark.language),
            ctx.word(Wording::BellsDown, mark.language),
        );
        let message = format!(
            "The bell goes up here, and nothing says whether it is still up after the rest, at {} in bar {}. Players will \
             guess, and not all alike. Write \"{down}\" where the rest begins, or \"{up}\" again at bar {}.",
            after.written, after.number, after.number,
        );
        let finding = ctx
            .finding(&RULE, mark.span, message, &Source::CommonPractice)
            .at_bar(mark.number)
            .related(Some(after.span), "the first note after the rest");
        // Slower, the rest is longer still; so much faster, it leaves no doubt.
        let rest = (after.starts - before.ends).0;
        let finding = ctx.at_tempo(finding, after, rest / long.value.0.max(0.1));
        findings.push(match ctx.rest_between(before, after) {
            Some((rest, number)) => finding.fix(
                Safety::Review,
                format!("Write \"{down}\" in bar {number}, where the rest begins"),
                vec![Intent::AddMark {
                    note: rest,
                    mark: NewMark::Words(down),
                }],
            ),
            None => finding,
        });
    }
    findings
}
