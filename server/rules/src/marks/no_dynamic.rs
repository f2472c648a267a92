//! `marks/no-dynamic`: an entry that does not say how loud it is.

use horn::Source;
use reading::{HornPart, PlayedNote};
use score::{EventKind, MarkKind};

use crate::context::AmongContext;
use crate::finding::Finding;
use crate::rule::{Severity, rule};
use crate::setting::{Kind, Setting, number};

static BARS: Setting = Setting {
    name: "bars",
    what: "Bars of rest after which an entry wants its dynamic written again.",
    kind: Kind::Number("bars"),
    default: |_| number(horn::rest_before_dynamic(), "bars"),
};

rule! {
    /// No dynamic at the first note of a part, or at an entry after a long rest.
    ///
    /// ## Why it matters
    /// A horn that comes in without a dynamic comes in by guess, and each player of the section guesses otherwise; too
    /// loud it covers everybody, too soft the lip is not ready for what follows. After a page of rests nobody remembers
    /// the last one, and a player who turned the page cannot see it.
    ///
    /// Where nobody else has a dynamic by then either, the part is left in peace: its writer has not come to them yet, or
    /// leaves them to the players, as old music does, which begins forte when nothing is said.
    ///
    /// ## What to write instead
    /// A dynamic at the first note, and at every entry after a long rest, even where it is the same as before.
    ///
    /// ## Source
    /// Common practice; after how many bars is bellhand's own choice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// c d e f | z4 | !mf!g4 |]
    /// ```
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=120
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !p!c4 | Z12 | e4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=120
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !p!c4 | Z11 | e4 | Z12 | !p!e4 |]
    /// ```
    "marks/no-dynamic", Information, PartAmong(check), settings: [BARS]
}

fn check(ctx: &AmongContext<'_>) -> Vec<Finding> {
    let notes = &ctx.part.notes;
    let mut findings: Vec<Finding> = notes
        .first()
        .filter(|first| first.marked.dynamic.is_none() && others_are_marked(ctx, first))
        .map(|first| unmarked_start(ctx, first))
        .into_iter()
        .collect();
    let longest = ctx.number(&RULE, &BARS);
    findings.extend(
        notes
            .iter()
            .zip(notes.iter().skip(1))
            .filter_map(|(before, after)| {
                let (dynamic, mark) = after.marked.dynamic?;
                let rests = after.bar.saturating_sub(before.bar).saturating_sub(1);
                let again = before.marked.dynamic.is_none_or(|(_, last)| last != mark);
                if again || (rests as f64) < longest.value {
                    return None;
                }
                let message = format!(
                    "{} comes in after {rests} bars of rest without a dynamic; the last one, {dynamic}, stands before the \
                     rest. After so long nobody remembers it, and it may be on the page before. Write it again, or the new \
                     one, at the entry.",
                    ctx.name(after),
                );
                Some(
                    ctx.finding(&RULE, after.pitch_span, message, &longest.source)
                        .graver(Severity::Hint)
                        .at_bar(after.number)
                        .related(Some(mark), "the last dynamic"),
                )
            }),
    );
    findings
}

fn unmarked_start(ctx: &AmongContext<'_>, first: &PlayedNote) -> Finding {
    let message = format!(
        "{} is the part's first note and has no dynamic. The player comes in by guess, and the others of the section guess \
         otherwise. Write one at the entry.",
        ctx.name(first),
    );
    ctx.finding(&RULE, first.pitch_span, message, &Source::CommonPractice)
        .at_bar(first.number)
}

/// Whether others have a dynamic by the time of a note; where horns are alone, whether any of them ever has one.
fn others_are_marked(ctx: &AmongContext<'_>, first: &PlayedNote) -> bool {
    let reading = ctx.reading;
    let parts = &reading.piece.parts;
    if parts.len() == reading.horns.len() {
        let marked = |horn: &HornPart| horn.notes.iter().any(|note| note.marked.dynamic.is_some());
        return reading.horns.iter().any(marked);
    }
    parts.iter().any(|part| {
        part.events()
            .take_while(|placed| placed.onset <= first.onset)
            .any(|placed| match &placed.event.kind {
                EventKind::Mark(mark) => matches!(mark.kind, MarkKind::Dynamic(_)),
                _ => false,
            })
    })
}
