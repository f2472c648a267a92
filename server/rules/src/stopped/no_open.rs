//! `stopped/no-open`: stopping that nothing takes back.

use std::collections::BTreeSet;

use horn::{Instruction, Source, Wording};
use reading::{Hand, PlayedNote, Said};
use score::{Intent, NewMark};

use super::passage;
use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::{Severity, rule};

rule! {
    /// Stopping that is never taken back.
    ///
    /// ## Why it matters
    /// "Stopped" holds until something says otherwise. When nothing does, the player has to guess where the hand
    /// comes out, and two players on one part may guess differently. After a note with `+` the next open note needs
    /// its `o` for the same reason.
    ///
    /// ## What to write instead
    /// Write "open" where the words "stopped" end, and `o` over the first open note after a `+` (the fixes).
    ///
    /// ## Source
    /// Common practice; the signs `+` and `o` also in Rimsky-Korsakov, *Principles of Orchestration* (English
    /// edition 1922), p. 26.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^stopped" e c z2 | c d e f | g4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^stopped" e c z2 | "^open" c d !+!e !open!f | g4 |]
    /// ```
    "stopped/no-open", Warning, Player(check)
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let mut findings: Vec<Finding> = never_taken_back(ctx).into_iter().collect();
    findings.extend(signs_without_open(ctx));
    findings
}

/// Words that stop the horn and hold to the end of the part.
fn never_taken_back(ctx: &PartContext<'_>) -> Option<Finding> {
    let part = ctx.part;
    if part.at_end.hand == Hand::Open {
        return None;
    }
    let mark = part.marks.iter().rev().find(|mark| {
        matches!(
            mark.said,
            Said::Word(Instruction::Stopped | Instruction::HalfStopped)
        ) && mark.before.hand == Hand::Open
    })?;
    let first = mark.next_note?;
    let passage = passage::around(part, first);
    if passage.end < part.notes.len() || PartContext::says_to_the_end(mark) {
        return None;
    }
    let open = ctx.word(Wording::Open, mark.language);
    let message = format!(
        "The hand goes in here and nothing takes it out again before the end. Each player will guess where it comes out. \
         Write \"{open}\" there; if all of it is stopped, say so: \"{} sempre\".",
        ctx.word(Wording::Stopped, mark.language),
    );
    let finding = ctx
        .finding(&RULE, mark.span, message, &Source::CommonPractice)
        .at_bar(mark.number);
    // The likeliest place is after the first rest within the passage.
    let after_rest = part.notes[passage.clone()]
        .iter()
        .skip(1)
        .find(|note| note.leads() && !note.tied_from && note.since_rest.0 <= 0.0);
    Some(match after_rest {
        Some(note) => finding.fix(
            Safety::Review,
            format!("Write \"{open}\" in bar {}, after the rest", note.number),
            vec![Intent::AddMark {
                note: note.span,
                mark: NewMark::Words(open),
            }],
        ),
        None => finding,
    })
}

/// Notes with `+` whose next open note carries neither `o` nor a word.
fn signs_without_open<'a>(ctx: &'a PartContext<'_>) -> impl Iterator<Item = Finding> + 'a {
    let part = ctx.part;
    let opened = part
        .marks
        .iter()
        .filter(|mark| matches!(mark.said.instruction(), Instruction::Open));
    let marked_open: BTreeSet<usize> = opened.filter_map(|mark| mark.next_note).collect();
    part.marks
        .iter()
        .filter(|mark| mark.said == Said::Sign(Instruction::Stopped))
        .filter_map(move |mark| {
            let stopped = mark.next_note?;
            let (index, next): (usize, &PlayedNote) = part.attacks_after(stopped).next()?;
            // A rest gives the ear a new start; within a line the hand must be told.
            if next.technique.hand != Hand::Open || next.since_rest.0 <= 0.0 || marked_open.contains(&index) {
                return None;
            }
            let message = format!(
                "The + is not taken back: the next note, {} in bar {}, has no o over it, and the player cannot be sure \
                 that it is open. Put an o over it.",
                next.written, next.number,
            );
            Some(
                ctx.finding(&RULE, mark.span, message, &Source::CommonPractice)
                    .at_bar(mark.number)
                    .graver(Severity::Information)
                    .related(Some(next.span), "the next open note")
                    .fix(
                        Safety::Safe,
                        format!("Put an o over {}", next.written),
                        vec![Intent::AddMark {
                            note: next.span,
                            mark: NewMark::Circle,
                        }],
                    ),
            )
        })
}
