//! `notation/respelled`: one sound by two names, side by side.

use horn::Source;
use reading::PlayedNote;
use score::{Intent, Row};
use theory::{Letter, WrittenPitch};

use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::rule;

rule! {
    /// The same note twice in a row by two names, such as C sharp and then D flat.
    ///
    /// ## Why it matters
    /// The player sees a step on the page and prepares for one, and it is the same note again: the second is played with
    /// doubt, or wrong. Players read one line and have no use for the harmony's spelling.
    ///
    /// ## What to write instead
    /// One name for both (the fix). Where a rest or a new key signature lies between, nothing is said.
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
    /// e ^c _d e | c4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// e ^c z _d | c4 |]
    /// ```
    "notation/respelled", Information, Part(check)
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let notes: Row<&PlayedNote> = ctx
        .part
        .notes
        .iter()
        .filter(|note| note.layer == 0 && !note.chord)
        .collect();
    // Notes of one sound and no rest between, however each is named.
    notes
        .chunk_by(|a, b| {
            a.written.midi() == b.written.midi()
                && a.sounding.midi() == b.sounding.midi()
                && b.since_rest.0 > 0.0
                && key_at(ctx, a) == key_at(ctx, b)
        })
        .filter_map(|same| {
            let first = same.first()?;
            let (at, other) = same
                .iter()
                .enumerate()
                .find(|(_, note)| note.written != first.written)?;
            let before = same.get(at.checked_sub(1)?)?;
            // The first name stays, unless it is the awkward one of the two.
            let name = if is_awkward(first.written) && !is_awkward(other.written) {
                other.written
            } else {
                first.written
            };
            let intents = same
                .iter()
                .filter(|note| note.written != name && !note.tied_from)
                .map(|note| Intent::MoveNote {
                    note: note.span,
                    from: note.written,
                    to: name,
                })
                .collect();
            let message = format!(
                "{} is the same note as the {} before it. The player sees a step on the page where there is none. Write \
                 {name} both times.",
                other.written, before.written,
            );
            Some(
                ctx.finding(&RULE, other.pitch_span, message, &Source::CommonPractice)
                    .at_bar(other.number)
                    .related(Some(before.pitch_span), "the same note by its other name")
                    .fix(Safety::Safe, format!("Write {name} both times"), intents),
            )
        })
        .collect()
}

/// How many key signatures have come by a note.
fn key_at(ctx: &PartContext<'_>, note: &PlayedNote) -> usize {
    ctx.part
        .keys
        .partition_point(|(from, _, _)| *from <= note.onset)
}

/// A double sharp or flat, or a white key by a black key's name.
const fn is_awkward(pitch: WrittenPitch) -> bool {
    let alteration = pitch.0.alteration.0;
    alteration.abs() > 1
        || matches!(
            (pitch.0.letter, alteration),
            (Letter::E | Letter::B, 1) | (Letter::C | Letter::F, -1)
        )
}
