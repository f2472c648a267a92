//! `stopped/too-low`: stopping where it turns fuzzy.

use horn::StoppedQuality;
use reading::{Hand, PlayedNote};
use score::{Intent, NewMark};

use super::passage;
use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::{Severity, rule};
use crate::setting::{Kind, Setting, pitch};

static LOWEST: Setting = Setting {
    name: "lowest",
    what: "The lowest note to be stopped, as written for horn in F.",
    kind: Kind::Pitch,
    default: |_| pitch(horn::lowest_good_stopped()),
};

rule! {
    /// A stopped note below written middle C.
    ///
    /// ## Why it matters
    /// The hand closes the bell and the tube behind it shortens. Down to written middle C that gives the bright,
    /// far-away sound that is wanted; lower, the note gets fuzzy in sound and tuning, and further down it hardly
    /// speaks, however hard the player tries.
    ///
    /// ## What to write instead
    /// Stop it an octave higher (a fix, for the note or the whole stopped passage), or have the passage muted
    /// instead (a fix): the mute keeps its sound much lower.
    ///
    /// ## Source
    /// Written middle C as the last good stopped note: common practice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^stopped" E C A, "^open" c |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^stopped" e c A "^open" c |]
    /// ```
    "stopped/too-low", Warning, Player(check), settings: [LOWEST]
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let lowest = ctx.pitch(&RULE, &LOWEST);
    let notes = ctx.part.notes.iter().enumerate();
    notes
        .filter(|(_, note)| {
            note.technique.hand == Hand::Stopped
                && !note.tied_from
                && note.height.midi() < lowest.value.midi()
                && horn::stopped_fingering(ctx.instrument(), note.height).is_some()
        })
        .map(|(index, note)| {
            let quality = horn::stopped_quality(note.height).value;
            let (what, severity) = match quality {
                StoppedQuality::Good | StoppedQuality::Fuzzy => {
                    ("it gets fuzzy in sound and tuning", Severity::Warning)
                }
                // Where no fingering is left at all, another rule speaks.
                StoppedQuality::Poor | StoppedQuality::Impossible => {
                    ("it hardly speaks", Severity::Error)
                }
            };
            let message = format!(
                "{} is stopped too low. Below {} {what}. Write it an octave higher, or have it muted instead.",
                ctx.name(note),
                lowest.value,
            );
            let passage = passage::around(ctx.part, index);
            let mut finding = ctx
                .finding(&RULE, note.pitch_span, message, &lowest.source)
                .at_bar(note.number)
                .graver(severity)
                .related(note.technique.hand_mark, "the mark that has it stopped")
                .fix(
                    Safety::Review,
                    format!("Move {} up an octave", note.written),
                    PartContext::octaves([note.span], 1),
                );
            let whole = &ctx.part.notes[passage.clone()];
            if whole.iter().filter(|note| !note.tied_from).count() > 1 {
                finding = finding.fix(
                    Safety::Review,
                    "Move the whole stopped passage up an octave".to_owned(),
                    PartContext::octaves(whole.iter().map(|note| note.span), 1),
                );
            }
            if let Some(intents) = muted_instead(ctx, whole) {
                finding = finding.fix(
                    Safety::Review,
                    "Have the passage muted instead".to_owned(),
                    intents,
                );
            }
            finding
        })
        .collect()
}

/// The marks of a stopped passage rewritten for the mute.
///
/// Only where each mark says nothing else, since what stands beside it would be lost.
fn muted_instead(ctx: &PartContext<'_>, passage: &[PlayedNote]) -> Option<Vec<Intent>> {
    let (first, last) = (passage.first()?, passage.last()?);
    let mut intents = Vec::new();
    let mut written = false;
    for mark in &ctx.part.marks {
        let stops = matches!(mark.said.instruction(), horn::Instruction::Stopped)
            && passage
                .iter()
                .any(|note| note.technique.hand_mark == Some(mark.span));
        if stops {
            if !mark.alone {
                return None;
            }
            intents.push(if written {
                Intent::RemoveMark { mark: mark.span }
            } else {
                Intent::ReplaceMark {
                    mark: mark.span,
                    with: NewMark::Words("con sord.".to_owned()),
                }
            });
            written = true;
        }
    }
    if !written {
        return None;
    }
    let next = ctx
        .part
        .notes
        .iter()
        .find(|note| note.onset >= last.onset + last.length && note.leads() && !note.tied_from)
        .filter(|note| note.onset > first.onset)?;
    let out = NewMark::Words("senza sord.".to_owned());
    let opening = ctx.part.marks.iter().find(|mark| {
        mark.alone
            && matches!(mark.said.instruction(), horn::Instruction::Open)
            && mark
                .next_note
                .and_then(|index| ctx.part.notes.get(index))
                .is_some_and(|after| after.span == next.span)
    });
    intents.push(match opening {
        Some(mark) => Intent::ReplaceMark {
            mark: mark.span,
            with: out,
        },
        None => Intent::AddMark {
            note: next.span,
            mark: out,
        },
    });
    Some(intents)
}
