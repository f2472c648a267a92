//! `stopped/unreachable`: a stopped note that no fingering plays.

use horn::StoppedBy;
use reading::Hand;

use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::rule;

rule! {
    /// A stopped note for which the F side, or a single horn's one side, has no fingering.
    ///
    /// ## Why it matters
    /// Closing the bell raises the F side by a semitone, so a stopped note is fingered a semitone lower there; the
    /// B flat side goes out of tune when stopped and is left alone. Where the F side has no note to finger, below
    /// written G2 and above C sharp 6, the stopped note cannot be played at all.
    ///
    /// ## What to write instead
    /// Move the note an octave towards the middle (the fix), or have it muted or open.
    ///
    /// ## Source
    /// Stopping raises the F side by a semitone: Boldin, *The Instrumentalist* (September 2008). The fingerings
    /// left are those of Smalley, *Double Horn Fingering Dictionary* (2025).
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^stopped" F,, c c c | "^open" c4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^stopped" f c c c | "^open" c4 |]
    /// ```
    "stopped/unreachable", Error, Player(check), rests_on: Crook
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let instrument = ctx.instrument();
    let by = horn::stopped_by(instrument).value;
    let middle = horn::lowest_good_stopped().value;
    ctx.part
        .notes
        .iter()
        .filter(|note| {
            note.technique.hand == Hand::Stopped
                && !note.tied_from
                && horn::stopped_fingering(instrument, note.height).is_none()
        })
        .map(|note| {
            let low = note.height < middle;
            let (why, source) = match by {
                StoppedBy::FSide => (
                    "the F side has no fingering for it, and the B flat side is out of tune when stopped.",
                    horn::stopped_fingering_source(),
                ),
                StoppedBy::StoppingValve => (
                    "a single B♭ horn has no fingering for it, with a stopping valve or without.",
                    horn::fingering_source(),
                ),
            };
            let message = format!(
                "{} cannot be stopped: {why} Write it an octave {}, or have it played muted or open.",
                ctx.name_and_height(note),
                if low { "higher" } else { "lower" },
            );
            // An octave at a time, until the hand and the fingers both have a place for it.
            let octaves = (1..=4).find(|octaves| {
                let moved = note.height.midi() + if low { 12 } else { -12 } * octaves;
                horn::stopped_fingering(instrument, horn::Height::from_midi(moved)).is_some()
            });
            let finding = ctx
                .finding(
                    &RULE,
                    note.pitch_span,
                    message,
                    &source,
                )
                .at_bar(note.number)
                .related(note.technique.hand_mark, "the mark that has it stopped");
            match octaves.and_then(|octaves| i8::try_from(octaves).ok()) {
                Some(octaves) => finding.fix(
                    Safety::Review,
                    format!(
                        "Move {} {} {octaves} octave{}",
                        note.written,
                        if low { "up" } else { "down" },
                        if octaves == 1 { "" } else { "s" },
                    ),
                    PartContext::octaves([note.span], if low { octaves } else { -octaves }),
                ),
                None => finding,
            }
        })
        .collect()
}
