//! `range/too-low`: notes below what the players reach.

use super::too_high::octaves;
use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::notation::bass_clef_convention::looks_old;
use crate::rule::{Severity, rule};
use crate::setting::{Kind, Setting, pitch};

static LOWEST: Setting = Setting {
    name: "lowest",
    what: "The lowest note to ask for, as written for horn in F.",
    kind: Kind::Pitch,
    default: |level| pitch(horn::lowest(level)),
};

rule! {
    /// A note below what the players can be asked for.
    ///
    /// ## Why it matters
    /// Below its second partials the horn has only pedal notes, and only some of them; they speak late, soft notes
    /// do not speak at all, and most players have none. In the octave above them the tone is broad and slow.
    ///
    /// ## What to write instead
    /// Write it an octave higher (the fix), or give it to a lower instrument. In an old part whose bass clef is
    /// written an octave below the treble's, the notes sound an octave higher than they look: then write them so.
    ///
    /// ## Source
    /// Written F#2 as the bottom of the valve horn: Rimsky-Korsakov, *Principles of Orchestration* (English edition
    /// 1922), table C, p. 25. What student and community players reach is this project's choice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// C, G,, C,, C, |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// C G, C, C |]
    /// ```
    "range/too-low", Warning, Part(check), settings: [LOWEST]
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let lowest = ctx.pitch(&RULE, &LOWEST);
    ctx.part
        .notes
        .iter()
        // Where bass clef looks like the old way of writing, the rule about that speaks.
        .filter(|note| !looks_old(ctx, note))
        .filter(|note| !note.tied_from && note.height.midi() < lowest.value.midi())
        .map(|note| {
            let higher = ((lowest.value.midi() - note.height.midi() + 11) / 12).clamp(1, 9) as i8;
            let exists = !horn::fingerings(note.height).is_empty();
            let why = if exists {
                "Down there a note speaks late and soft ones not at all."
            } else {
                "No fingering gives it."
            };
            let message = format!(
                "{} is below {}, the lowest note to ask of these players. {why} Write it {} higher, or give it to a lower \
                 instrument.",
                ctx.name_and_height(note),
                lowest.value,
                octaves(higher),
            );
            let finding = ctx
                .finding(&RULE, note.pitch_span, message, &lowest.source)
                .at_bar(note.number)
                .fix(
                    Safety::Review,
                    format!("Move {} up {}", note.written, octaves(higher)),
                    PartContext::octaves([note.span], higher),
                );
            if exists {
                finding
            } else {
                finding.graver(Severity::Error)
            }
        })
        .collect()
}
