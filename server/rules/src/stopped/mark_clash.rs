//! `stopped/mark-clash`: marks that contradict each other.

use std::collections::BTreeSet;

use horn::{Instruction, Source};
use reading::{Hand, PlayedMark, PlayedNote};
use score::{Intent, Span};

use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::rule;

rule! {
    /// Marks that contradict each other: stopped and open at one note, or stopped and muted at once.
    ///
    /// ## Why it matters
    /// A note cannot be stopped and open. And stopping is done with the hand in the very place where the mute
    /// sits: with the mute in, the bell cannot be stopped by hand. The player will stop and ask, or choose.
    ///
    /// ## What to write instead
    /// Keep the one that is meant and take the other out (the fixes offer both); to go from mute to hand, write
    /// "senza sord." first and leave time for it.
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
    /// "^con sord." e c "^stopped" d e | "^open" z4 | z4 | "^senza sord." c4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^con sord." e c d e | z4 | z4 | "^senza sord." z4 | "^stopped" c2 "^open" c2 |]
    /// ```
    "stopped/mark-clash", Warning, Player(check)
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let mut findings = stopped_and_open(ctx);
    findings.extend(stopped_and_muted(ctx));
    findings
}

/// Two marks at one note of which one stops it and the other opens it.
fn stopped_and_open(ctx: &PartContext<'_>) -> Vec<Finding> {
    let marks = &ctx.part.marks;
    let opens = |mark: &PlayedMark| matches!(mark.said.instruction(), Instruction::Open);
    let stops = |mark: &PlayedMark| matches!(mark.said.instruction(), Instruction::Stopped);
    marks
        .iter()
        .zip(marks.iter().skip(1))
        .filter(|(first, second)| {
            first.next_note.is_some()
                && first.next_note == second.next_note
                && first.onset == second.onset
                && ((opens(first) && stops(second)) || (stops(first) && opens(second)))
        })
        .map(|(first, second)| {
            let (stop, open) = if stops(first) { (first, second) } else { (second, first) };
            let message = "This note is marked stopped and open at once. The player has to choose; keep the one you mean.";
            let mut finding = ctx
                .finding(&RULE, second.span, message.to_owned(), &Source::CommonPractice)
                .at_bar(second.number)
                .related(Some(first.span), "the other mark");
            for (keep, drop) in [("stopped", open), ("open", stop)] {
                if drop.alone {
                    finding = finding.fix(
                        Safety::Review,
                        format!("Keep it {keep}: take the other mark out"),
                        vec![Intent::RemoveMark { mark: drop.span }],
                    );
                }
            }
            finding
        })
        .collect()
}

/// Each stretch of notes that are stopped with the mute in, told once.
fn stopped_and_muted<'a>(ctx: &'a PartContext<'_>) -> impl Iterator<Item = Finding> + 'a {
    let clashes =
        |note: &PlayedNote| note.technique.hand == Hand::Stopped && note.technique.muted();
    let alone = ctx.part.marks.iter().filter(|mark| mark.alone);
    let alone: BTreeSet<Span> = alone.map(|mark| mark.span).collect();
    ctx.part
        .notes
        .chunk_by(move |a, b| clashes(a) == clashes(b))
        .filter_map(move |stretch| {
            let first = stretch.first().filter(|note| clashes(note))?;
            let (hand, mute) = (first.technique.hand_mark, first.technique.mute_mark);
            let later = hand.max(mute)?;
            let message = format!(
                "{} is to be stopped while the mute is in. The hand cannot close a bell that has a mute in it. Take the \
                 mute out first and leave time for it, or leave out the stopping.",
                ctx.name(first),
            );
            let finding = ctx
                .finding(&RULE, later, message, &Source::CommonPractice)
                .at_bar(first.number)
                .related(hand, "the mark that has it stopped")
                .related(mute, "the mark that put the mute in");
            Some(match hand {
                Some(mark) if alone.contains(&mark) => finding.fix(
                    Safety::Review,
                    "Leave it muted: take the stopping out".to_owned(),
                    vec![Intent::RemoveMark { mark }],
                ),
                _ => finding,
            })
        })
}
