//! `mute/not-removed`: the mute goes in and never comes out.

use horn::{Source, Wording};
use score::{Intent, NewMark};

use super::change;
use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::rule;

rule! {
    /// A mute that nothing takes out before the end of the part.
    ///
    /// ## Why it matters
    /// "con sord." holds until "senza sord.". When that never comes, the player cannot tell whether the rest is
    /// really muted or the mark was forgotten, and the next movement may start with the mute still in.
    ///
    /// ## What to write instead
    /// Write "senza sord." where the mute comes out, in the rest before the first open note, so that the player
    /// has time; or "con sord. al fine" if it stays in to the end.
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
    /// z4 | "^con sord." e c d e | z4 | z4 | c4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// z4 | "^con sord." e c d e | z4 | z4 | "^senza sord." c4 |]
    /// ```
    "mute/not-removed", Warning, Player(check)
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    // What counts is the end of the performance: a D.C. may lead back to where the mute comes out, or a Fine stand where it
    // is in.
    let held = ctx.part.at_end;
    let last = held.mute_mark.filter(|_| held.muted());
    // Later marks may only remind of the one that puts it in.
    let marks = ctx.part.marks.iter().rev();
    let mut marks = marks.skip_while(|mark| Some(mark.span) != last);
    let Some(mark) = marks.find(|mark| change::changes(mark) == Some(true)) else {
        return Vec::new();
    };
    if PartContext::says_to_the_end(mark) {
        return Vec::new();
    }
    let Some(first) = mark.next_note else {
        return Vec::new();
    };
    let out = ctx.word(Wording::MuteOut, mark.language);
    let message = format!(
        "The mute goes in here and nothing takes it out before the end. The player cannot tell whether all of it is muted \
         or a mark was forgotten. Write \"{out}\" where it comes out, or \"{} al fine\" if it stays in.",
        ctx.word(Wording::MuteIn, mark.language),
    );
    let finding = ctx
        .finding(&RULE, mark.span, message, &Source::CommonPractice)
        .at_bar(mark.number);
    // The likeliest place is the first rest in which there is time; the mark stands where it begins, so that the player
    // has all of it.
    let needed = horn::time_to_remove().value;
    let notes = ctx.part.notes.get(first..).unwrap_or_default();
    let rest = notes
        .iter()
        .zip(notes.iter().skip(1))
        .find(|(before, after)| after.leads() && (after.starts - before.ends) >= needed)
        .and_then(|(before, after)| ctx.rest_between(before, after));
    vec![match rest {
        Some((rest, number)) => finding.fix(
            Safety::Review,
            format!("Write \"{out}\" in bar {number}, where the rest begins"),
            vec![Intent::AddMark {
                note: rest,
                mark: NewMark::Words(out),
            }],
        ),
        None => finding,
    }]
}
