//! `stopped/needless-open`: "open" where nothing is stopped.

use horn::{Instruction, Source};
use reading::{Hand, PlayedMark, PlayedNote, Said, Tone};
use score::Intent;

use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::rule;
use crate::setting::{Kind, Setting, number};

static NEAR: Setting = Setting {
    name: "near",
    what: "How many notes away a stopped note may be for an \"open\" to belong to it.",
    kind: Kind::Number("notes"),
    default: |_| number(horn::notes_near_stopping(), "notes"),
};

rule! {
    /// "Open" or `o` where no hand and no mute is in the bell.
    ///
    /// ## Why it matters
    /// "Open" takes something back. A player who reads it with the horn open already looks for the "stopped" or
    /// "con sord." that was missed, and asks in rehearsal.
    ///
    /// ## What to write instead
    /// Take the mark out (the fix), or write the "stopped" that is missing before it. An `o` close to a stopped note is a
    /// welcome reminder and is left alone, and so is a word in brackets.
    ///
    /// ## Source
    /// Common practice. How close counts as close is bellhand's own choice and yours to set.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// e c d e | "^open" c d e c | e c d e | e c d !+!e | !open!c4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// e c d e | e c d e | "^open" c d e c | e c d !+!e | !open!c4 |]
    /// ```
    "stopped/needless-open", Hint, Player(check), settings: [NEAR]
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let near = ctx.number(&RULE, &NEAR).value as usize;
    let notes = &ctx.part.notes;
    // Where notes are stopped or muted, or a mark asks for it, by their places.
    let asked = ctx.part.marks.iter().filter(|mark| {
        matches!(
            mark.said.instruction(),
            Instruction::Stopped | Instruction::HalfStopped
        )
    });
    let mut closed: Vec<usize> = notes
        .iter()
        .enumerate()
        .filter(|(_, note)| is_closed(note))
        .map(|(place, _)| place)
        .chain(asked.filter_map(|mark| mark.next_note))
        .collect();
    closed.sort_unstable();
    ctx.part
        .marks
        .iter()
        .filter(|mark| takes_nothing_back(mark))
        .filter_map(|mark| {
            let place = mark.next_note?;
            let after = closed.partition_point(|closed| *closed < place);
            let next = closed.get(after).is_some_and(|next| next - place <= near);
            let last = after
                .checked_sub(1)
                .and_then(|before| closed.get(before))
                .is_some_and(|last| place - last <= near);
            if next || last {
                return None;
            }
            let finding = ctx
                .finding(
                    &RULE,
                    mark.span,
                    "The horn is open already. The player wonders which \"stopped\" or \"con sord.\" was missed. Take this \
                     mark out, or write the one that is missing before it."
                        .to_owned(),
                    &Source::CommonPractice,
                )
                .at_bar(mark.number)
                .left_out();
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

fn is_closed(note: &PlayedNote) -> bool {
    note.technique.hand != Hand::Open || note.technique.muted()
}

/// Whether a mark asks for the open horn when hand, mute, bell and tone are as usual, and is no reminder.
fn takes_nothing_back(mark: &PlayedMark) -> bool {
    let before = mark.before;
    let opens = match mark.said {
        Said::Sign(Instruction::Open) => true,
        // What stands beside other words may mean something that is not read.
        Said::Word(Instruction::Open) => mark.alone,
        Said::Sign(_) | Said::Word(_) => false,
    };
    let words = mark.words.as_deref().unwrap_or_default().trim();
    let usual = before.hand == Hand::Open
        && !before.muted()
        && !before.bell_up
        && before.tone == Tone::Usual;
    opens && usual && !words.starts_with(['(', '['])
}
