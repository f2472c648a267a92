//! `rip/unmarked`: a rip whose end the page does not show.

use std::collections::{BTreeMap, BTreeSet};

use horn::{Instruction, Source};
use reading::{PlayedNote, RipMark};
use score::{EventKind, Kinds, MarkKind, Placed, Sign, Span};

use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::{Severity, rule};

rule! {
    /// A rip that is not drawn to a note: nothing follows it, or neither slur nor line leads there.
    ///
    /// ## Why it matters
    /// "gliss." alone says that something slides, not from where to where. And a slide sign is drawn as a short
    /// stroke before a note: players read it as a small scoop into that note, not as a rip to the next.
    ///
    /// ## What to write instead
    /// Write both notes, an octave apart for example, a slur (or a line) from the one to the other, and "gliss." over it.
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
    /// "^gliss." c2 z2 | g4 |]
    /// ```
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// c2 !slide!g2 | g4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^gliss." (c2 c'2) | g4 |]
    /// ```
    "rip/unmarked", Information, Player(check), rests_on: Crook
}

/// How a mark asks for something like a rip.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Asked {
    /// By a word.
    Word,
    /// By a line to the next note.
    Line,
    /// By the sign for a slide up into its own note.
    Slide,
}

/// The name of that sign.
const SLIDE: &str = "slide";

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let part = ctx.score;
    let said: BTreeSet<Span> = ctx
        .part
        .marks
        .iter()
        .filter(|mark| *mark.said.instruction() == Instruction::Gliss)
        .map(|mark| mark.span)
        .collect();
    let rips: BTreeMap<Span, &RipMark> = ctx.part.rips.iter().map(|rip| (rip.mark, rip)).collect();
    part.events_of(Kinds::SIGNS.and(Kinds::WORDS))
        .filter_map(|placed| {
            let asked = asked(&placed, &said)?;
            let number = part.bars.get(placed.bar).map_or(0, |bar| bar.number);
            let (message, severity) = judge(asked, ends(ctx, &rips, &placed))?;
            Some(
                ctx.finding(&RULE, placed.span(), message, &Source::CommonPractice)
                    .at_bar(number)
                    .graver(severity),
            )
        })
        .collect()
}

/// How an event asks for a rip; `said` are the words that do.
fn asked(placed: &Placed<'_>, said: &BTreeSet<Span>) -> Option<Asked> {
    let EventKind::Mark(mark) = &placed.event.kind else {
        return None;
    };
    match &mark.kind {
        MarkKind::Sign(Sign::Glissando) => Some(Asked::Line),
        MarkKind::Sign(Sign::Other(name)) if name == SLIDE => Some(Asked::Slide),
        MarkKind::Words(_) => said.contains(&placed.span()).then_some(Asked::Word),
        _ => None,
    }
}

/// The two notes of the rip that a mark asks for, as the part is read.
fn ends<'a>(
    ctx: &'a PartContext<'_>,
    rips: &BTreeMap<Span, &RipMark>,
    mark: &Placed<'_>,
) -> Option<(&'a PlayedNote, &'a PlayedNote)> {
    let rip = rips.get(&mark.span())?;
    Some((ctx.part.notes.get(rip.from)?, ctx.part.notes.get(rip.to)?))
}

fn judge(asked: Asked, ends: Option<(&PlayedNote, &PlayedNote)>) -> Option<(String, Severity)> {
    let (from, to) = match (asked, ends) {
        (Asked::Slide, _) => {
            let message = "A slide sign is a short stroke before its note: players read it as a small scoop into that \
                           note, not as a rip. If a rip is meant, write \"gliss.\" and a slur from the note it leaves."
                .to_owned();
            return Some((message, Severity::Information));
        }
        (_, None) => {
            let message = "This rip leads nowhere: no note follows it, and the player cannot tell how far to go. Write the note it \
                           reaches, an octave up for example, and a slur to it."
                .to_owned();
            return Some((message, Severity::Warning));
        }
        (_, Some(ends)) => ends,
    };
    // A rest between takes the end away.
    if from.onset + from.length < to.onset {
        let message = format!(
            "A rest follows this rip, so it leads nowhere: {} comes only after the rest. Write the note it reaches right \
             after {}, and a slur to it.",
            to.written, from.written,
        );
        return Some((message, Severity::Warning));
    }
    if asked == Asked::Line || from.slurred_to_next {
        return None;
    }
    let message = format!(
        "No slur or line leads from {} to {}, so the page does not show how far the rip goes. Draw a slur between them.",
        from.written, to.written,
    );
    Some((message, Severity::Information))
}
