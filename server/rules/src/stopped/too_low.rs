//! `stopped/too-low`: stopping where it turns fuzzy.

use std::collections::BTreeSet;
use std::ops::Range;

use horn::{Height, Sourced, StoppedQuality, Wording};
use reading::{Hand, PlayedMark, PlayedNote};
use score::{Intent, NewMark, Span};

use super::passage;
use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::rule;
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
    "stopped/too-low", Warning, Player(check), settings: [LOWEST], rests_on: Crook
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let lowest = ctx.pitch(&RULE, &LOWEST);
    let notes = &ctx.part.notes;
    let mut findings = Vec::new();
    for passage in passage::all(ctx.part) {
        let low = passage.clone().filter_map(|index| {
            let note = notes.get(index)?;
            let low = note.technique.hand == Hand::Stopped
                && !note.tied_from
                && note.height.midi() < lowest.value.midi()
                && horn::stopped_fingering(ctx.instrument(), note.height).is_some();
            low.then_some(note)
        });
        for (place, note) in low.enumerate() {
            let finding = judge(ctx, lowest, note);
            // What moves the whole passage is offered once, at the first of its notes.
            findings.push(if place == 0 {
                whole(ctx, &passage, finding)
            } else {
                finding
            });
        }
    }
    findings
}

/// What is said of a note that is stopped too low.
fn judge(ctx: &PartContext<'_>, lowest: Sourced<Height>, note: &PlayedNote) -> Finding {
    let what = match horn::stopped_quality(note.height).value {
        StoppedQuality::Good | StoppedQuality::Fuzzy => "it gets fuzzy in sound and tuning",
        // Where no fingering is left at all, another rule speaks.
        StoppedQuality::Poor | StoppedQuality::Impossible => "it hardly speaks",
    };
    let message = format!(
        "{} is stopped too low. Below {} {what}. Write it an octave higher, have it muted instead, or \
         ask for a stopping mute, which plays lower than the hand.",
        ctx.name(note),
        lowest.value,
    );
    ctx.finding(&RULE, note.pitch_span, message, &lowest.source)
        .at_bar(note.number)
        .related(note.technique.hand_mark, "the mark that has it stopped")
        .fix(
            Safety::Review,
            format!("Move {} up an octave", note.written),
            PartContext::octaves([note.span], 1),
        )
}

/// The finding with what can be done about its whole passage.
fn whole(ctx: &PartContext<'_>, passage: &Range<usize>, mut finding: Finding) -> Finding {
    let notes = ctx.part.notes.get(passage.clone()).unwrap_or_default();
    if notes.iter().filter(|note| !note.tied_from).count() > 1 {
        finding = finding.fix(
            Safety::Review,
            "Move the whole stopped passage up an octave".to_owned(),
            PartContext::octaves(notes.iter().map(|note| note.span), 1),
        );
    }
    for (title, words) in [
        ("Have the passage muted instead", None),
        (
            "Have the passage played with a stopping mute",
            Some("stopping mute"),
        ),
    ] {
        if let Some(intents) = muted_instead(ctx, passage, words) {
            finding = finding.fix(Safety::Review, title.to_owned(), intents);
        }
    }
    finding
}

/// The marks whose first note is among some notes, by the places of these.
fn marks_at<'a>(ctx: &PartContext<'a>, notes: Range<usize>) -> &'a [PlayedMark] {
    // Marks stand in the order of the notes they begin with; the last may have none.
    let marks = &ctx.part.marks;
    let before =
        |note: usize| marks.partition_point(|mark| mark.next_note.is_some_and(|next| next < note));
    marks
        .get(before(notes.start)..before(notes.end))
        .unwrap_or_default()
}

/// The marks of a stopped passage rewritten for a mute, the usual one where there are no words for another.
///
/// Only where each mark says nothing else, since what stands beside it would be lost.
fn muted_instead(
    ctx: &PartContext<'_>,
    passage: &Range<usize>,
    words: Option<&str>,
) -> Option<Vec<Intent>> {
    let notes = ctx.part.notes.get(passage.clone())?;
    let (first, last) = (notes.first()?, notes.last()?);
    let holding: BTreeSet<Span> = notes
        .iter()
        .filter_map(|note| note.technique.hand_mark)
        .collect();
    let mut intents = Vec::new();
    let mut spoken = None;
    for mark in marks_at(ctx, passage.clone()) {
        let stops = matches!(mark.said.instruction(), horn::Instruction::Stopped);
        if !stops || !holding.contains(&mark.span) {
            continue;
        }
        if !mark.alone {
            return None;
        }
        intents.push(if intents.is_empty() {
            spoken = mark.language;
            let usual = || ctx.word(Wording::MuteIn, spoken);
            Intent::ReplaceMark {
                mark: mark.span,
                with: NewMark::Words(words.map_or_else(usual, str::to_owned)),
            }
        } else {
            Intent::RemoveMark { mark: mark.span }
        });
    }
    if intents.is_empty() {
        return None;
    }
    let after = ctx.part.notes.iter().enumerate().skip(passage.end);
    let (place, next) = after
        .filter(|(_, note)| note.leads() && !note.tied_from)
        .find(|(_, note)| note.onset >= last.onset + last.length)
        .filter(|(_, note)| note.onset > first.onset)?;
    let out = NewMark::Words(ctx.word(Wording::MuteOut, spoken));
    let opening = marks_at(ctx, place..place + 1)
        .iter()
        .find(|mark| mark.alone && matches!(mark.said.instruction(), horn::Instruction::Open));
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
