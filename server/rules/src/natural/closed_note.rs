//! `natural/closed-note`: notes that a natural horn makes with the hand, or not at all.

use horn::{HandNote, Sourced};
use reading::PlayedNote;

use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::{Severity, rule};

rule! {
    /// A note outside the natural horn's series, which the hand must make.
    ///
    /// ## Why it matters
    /// A horn without valves has only its partials. The notes between are made by closing the bell: half closed, a
    /// semitone under a partial still sounds well; three quarters or wholly closed the note is muffled, and it
    /// cannot be loud. Low down, where partials lie far apart, some notes are missing altogether.
    ///
    /// ## What to write instead
    /// Keep loud and important notes on the open partials (written C, E, G, C, D, E, G, C and so on); use closed
    /// notes softly and in passing, where their veiled sound is wanted; or name a horn with valves.
    ///
    /// ## Source
    /// Half closure fairly sonorous, two thirds and more not: Widor, *Initiation musicale*, p. 34. The hand's reach
    /// to a fourth: *The Horn Call*, October 2017, p. 56. Which note wants which closure is worked out from these
    /// and the harmonic series. Partials 7, 11, 13 and 14, bent into tune, are left alone.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Natural horn in D" transpose=-10
    /// !f!c e d A | A F A c |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Natural horn in D" transpose=-10
    /// !f!c e d G | G E G c |]
    /// ```
    "natural/closed-note", Information, Player(check), rests_on: Crook
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    if !ctx.part.seat.name.natural {
        return Vec::new();
    }
    let made: Vec<(&PlayedNote, Sourced<HandNote>)> = ctx
        .part
        .notes
        .iter()
        .filter(|note| !note.tied_from)
        .map(|note| (note, horn::hand_note(ctx.part.in_series(note))))
        .filter(|(_, made)| made.value.is_factitious() || made.value == HandNote::Missing)
        .collect();
    // A bar is told once.
    made.chunk_by(|(a, _), (b, _)| a.bar == b.bar)
        .filter_map(|bar| judge(ctx, bar))
        .collect()
}

fn judge(ctx: &PartContext<'_>, bar: &[(&PlayedNote, Sourced<HandNote>)]) -> Option<Finding> {
    let (note, made) = bar.iter().max_by_key(|(_, made)| made.value)?;
    let loud = note
        .marked
        .dynamic
        .is_some_and(|(dynamic, _)| dynamic.is_loud());
    let severity = match made.value {
        HandNote::Missing => Severity::Warning,
        HandNote::MostlyClosed | HandNote::Closed if loud => Severity::Warning,
        HandNote::MostlyClosed | HandNote::Closed => Severity::Information,
        _ if loud => Severity::Information,
        _ => Severity::Hint,
    };
    let mut names: Vec<String> = Vec::new();
    for (note, made) in bar {
        let name = format!("{} ({})", note.written, made.value);
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let advice = match severity {
        Severity::Warning if made.value == HandNote::Missing => {
            "No partial is near enough for the hand. Write an open note, or name a horn with valves."
        }
        Severity::Warning => {
            "With the bell closed that far a note is muffled and cannot be loud. Write an open note, or mark it softer."
        }
        _ => "Such notes sound veiled beside the open ones; keep them where that is what you want.",
    };
    let message = format!(
        "On a natural horn these notes are not open: {}. {advice}",
        names.join(", "),
    );
    Some(
        ctx.finding(&RULE, note.pitch_span, message, &made.source)
            .at_bar(note.number)
            .graver(severity)
            .related(
                note.marked.dynamic.map(|(_, mark)| mark),
                "the dynamic in force",
            ),
    )
}
