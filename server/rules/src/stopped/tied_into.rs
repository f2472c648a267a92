//! `stopped/tied-into`: a held note that is to become stopped.

use horn::Instruction;
use reading::{Hand, HornPart, PlayedNote};
use score::Intent;

use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::rule;

rule! {
    /// A tie from an open note into a stopped one.
    ///
    /// ## Why it matters
    /// When the hand closes while a note sounds, the pitch sinks by about a semitone; to bring it back, the fingering
    /// has to change as well, and the note breaks. A held note cannot turn into its stopped sound without a new attack.
    ///
    /// ## What to write instead
    /// Attack the stopped note anew, without the tie; stop the note from its beginning; or take the mark out (the fix)
    /// if the change was not meant. If the sinking itself is wanted, write it out as a slide down.
    ///
    /// ## Source
    /// Closing the bell slowly lowers the pitch: *Journal of the Acoustical Society of America* 155 (3, supplement),
    /// A109 (2024). That a stopped note is fingered anew: Boldin, *The Instrumentalist*, September 2008.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// e4- | !+!e4 | !open!c4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// e4 | !+!e4- | e4 | !open!c4 |]
    /// ```
    "stopped/tied-into", Warning, Player(check)
}

/// How many notes may stand between a note and what it is held on from: those of one chord.
const CHORD: usize = 8;

/// The note that the one at `index` is held on from.
fn held_from(part: &HornPart, index: usize) -> Option<&PlayedNote> {
    let note = part.notes.get(index).filter(|note| note.tied_from)?;
    let before = part
        .notes
        .get(index.saturating_sub(CHORD)..index)?
        .iter()
        .rev();
    let mut same = before.filter(|one| one.written == note.written && one.layer == note.layer);
    same.next()
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    ctx.part
        .marks
        .iter()
        .filter(|mark| {
            matches!(
                mark.said.instruction(),
                Instruction::Stopped | Instruction::HalfStopped
            )
        })
        .filter_map(|mark| {
            let index = mark.next_note?;
            let before = held_from(ctx.part, index)?;
            let note = ctx.part.notes.get(index)?;
            if before.technique.hand != Hand::Open {
                return None;
            }
            let message = format!(
                "{} is held on by a tie and is to be stopped from here. As the hand closes, the sounding note sinks and \
                 breaks; it cannot turn into the stopped sound. Attack it anew without the tie, or stop it from its \
                 beginning.",
                note.written,
            );
            let finding = ctx
                .finding(&RULE, mark.span, message, &horn::closing_hand_source())
                .at_bar(mark.number)
                .related(Some(before.pitch_span), "the open note it is tied from");
            Some(if mark.alone {
                finding.fix(
                    Safety::Review,
                    format!("Leave the held {} open", note.written),
                    vec![Intent::RemoveMark { mark: mark.span }],
                )
            } else {
                finding
            })
        })
        .collect()
}
