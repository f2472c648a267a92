//! `bell/stopped`: stopped notes with the bell raised.

use horn::Source;
use reading::{Hand, PlayedNote};

use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::rule;

rule! {
    /// Notes to be stopped while the bell is up.
    ///
    /// ## Why it matters
    /// For "bells up" the right hand leaves the bell and holds the horn by its rim. To stop a note the same hand has to
    /// close the bell. One player cannot do both, and will leave out one of them.
    ///
    /// ## What to write instead
    /// Write "bells down" before the stopped notes, in a rest, or leave the notes open while the bell is up.
    ///
    /// ## Source
    /// Common practice: the hand is in the bell for normal playing and comes out for "bells up".
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=120
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^bells up" !f!e c d e | !+!e4 | z4 | "^bells down" !open!c4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=120
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^bells up" !f!e c d e | z4 | "^bells down" !+!e4 | !open!c4 |]
    /// ```
    "bell/stopped", Warning, Player(check)
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let torn = |note: &PlayedNote| {
        let technique = &note.technique;
        technique.bell_up && technique.hand != Hand::Open
    };
    ctx.part
        .notes
        .chunk_by(|a, b| torn(a) == torn(b))
        .filter_map(|notes| {
            let first = notes.first().filter(|note| torn(note))?;
            let how = match first.technique.hand {
                Hand::HalfStopped => "half-stopped",
                Hand::Stopped | Hand::Open => "stopped",
            };
            let message = format!(
                "{} is to be {how}, but the bell is up. With the bell raised the hand is outside and cannot close it, so the \
                 player has to leave out one or the other. Write \"bells down\" in a rest before it, or leave it open.",
                first.written,
            );
            Some(
                ctx.finding(&RULE, first.pitch_span, message, &Source::CommonPractice)
                    .at_bar(first.number)
                    .related(first.technique.bell_mark, "the mark that has the bell up")
                    .related(first.technique.hand_mark, "the mark that has it stopped"),
            )
        })
        .collect()
}
