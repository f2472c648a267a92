//! `rip/off-series`: a rip whose two notes share no tube.

use horn::{Height, Source};
use reading::PlayedNote;
use score::Intent;
use theory::WrittenPitch;

use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::rule;

rule! {
    /// A rip between two notes that no one fingering carries.
    ///
    /// ## Why it matters
    /// A rip is a fast slur through the harmonic series of one fingering. Both its ends must be partials of the
    /// same tube; else the player has to change valves on the way, and the sweep breaks.
    ///
    /// ## What to write instead
    /// Move the end to the nearest note that lies on a series with the start (the fixes), an octave for example.
    /// A rip is played late, at the end of the lower note.
    ///
    /// ## Source
    /// Common practice for what a rip is; which notes share a tube is computed from the harmonic series and agrees
    /// with Smalley, *Double Horn Fingering Dictionary* (2025).
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^gliss." G2 ^c2 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^gliss." (G2 g2) |]
    /// ```
    "rip/off-series", Warning, Player(check)
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    ctx.part
        .sounding_rips()
        .filter_map(|(rip, from, to)| {
            if from.height == to.height || !horn::rips(ctx.instrument(), from.height, to.height).is_empty() {
                return None;
            }
            let ends = ends(ctx, from, to);
            let starts = starts(ctx, from, to);
            let advice = match (or(&ends), or(&starts)) {
                (None, None) => "Start and end it elsewhere, or write the notes out.".to_owned(),
                (Some(ends), None) => format!("From {} a rip can end on {ends}.", from.written),
                (None, Some(starts)) => format!("To {} a rip can start on {starts}.", to.written),
                (Some(ends), Some(starts)) => format!(
                    "From {} a rip can end on {ends}; to {} it can start on {starts}.",
                    from.written, to.written
                ),
            };
            let message = format!(
                "{} and {} lie on no common harmonic series. No fingering rips from one to the other: the valves would have \
                 to change on the way, and the sweep breaks. {advice}",
                from.written, to.written,
            );
            let mut finding = ctx
                .finding(&RULE, rip.mark, message, &Source::CommonPractice)
                .at_bar(from.number)
                .related(Some(to.pitch_span), "the note it should reach");
            let moves = ends.into_iter().map(|end| ("End", to, end));
            let moves = moves.chain(starts.into_iter().map(|start| ("Start", from, start)));
            for (what, note, to) in moves {
                let title = format!("{what} the rip on {to}");
                let note = note.span;
                finding = finding.fix(Safety::Review, title, vec![Intent::MoveNote { note, to }]);
            }
            Some(finding)
        })
        .collect()
}

/// Notes to choose from, in words.
fn or(notes: &[WrittenPitch]) -> Option<String> {
    let names: Vec<String> = notes.iter().map(ToString::to_string).collect();
    (!names.is_empty()).then(|| names.join(" or "))
}

/// The nearest ends that work, at most one below and one above, as this part writes them.
pub(super) fn ends(ctx: &PartContext<'_>, from: &PlayedNote, to: &PlayedNote) -> Vec<WrittenPitch> {
    let near = horn::nearest_ends(ctx.instrument(), from.height, to.height);
    around(ctx, &near, to)
}

/// The nearest starts that work, in the same way.
fn starts(ctx: &PartContext<'_>, from: &PlayedNote, to: &PlayedNote) -> Vec<WrittenPitch> {
    let near = horn::nearest_starts(ctx.instrument(), from.height, to.height);
    around(ctx, &near, from)
}

/// The first of some notes below another, and the first above it.
fn around(ctx: &PartContext<'_>, near: &[Height], note: &PlayedNote) -> Vec<WrittenPitch> {
    let lower = near.iter().find(|other| **other < note.height);
    let higher = near.iter().find(|other| **other > note.height);
    let both = lower.into_iter().chain(higher);
    both.map(|other| ctx.on_page(*other, note)).collect()
}
