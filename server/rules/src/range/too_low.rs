//! `range/too-low`: notes below what the players reach.

use horn::{Height, Instrument};

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
    /// A note below what the players can be asked for, or one that the part's instrument does not have.
    ///
    /// ## Why it matters
    /// Below its second partials the horn has only pedal notes, of which no more than written E2 and F2 are common; they
    /// are hard to hold steady and speak late. In the octave above them the tone is broad and slow. And a single B flat
    /// horn has a gap: what lies between its pedal notes and written B2, its lowest note on all three valves, only an F
    /// side can play.
    ///
    /// ## What to write instead
    /// Write it an octave higher (the fix), or give it to a lower instrument. In an old part whose bass clef is
    /// written an octave below the treble's, the notes sound an octave higher than they look: then write them so.
    ///
    /// ## Source
    /// Written F#2 as the bottom of the valve horn: Rimsky-Korsakov, *Principles of Orchestration* (English edition
    /// 1922), table C, p. 25. What student and community players reach is bellhand's own choice. What a single horn
    /// lacks: Smalley, *Double Horn Fingering Dictionary* (2025), each side by itself. A part's horn is the double
    /// unless `instrument` in `bellhand.toml`, or a comment about the part, says otherwise.
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
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// % bellhand: part 1 = horn in F, single B flat
    /// C G, A,, C, |]
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
    "range/too-low", Warning, Player(check), settings: [LOWEST], rests_on: Crook
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let lowest = ctx.pitch(&RULE, &LOWEST);
    let instrument = ctx.instrument();
    ctx.part
        .notes
        .iter()
        // Where bass clef looks like the old way of writing, the rule about that speaks.
        .filter(|note| !looks_old(ctx, note) && !note.tied_from)
        .filter_map(|note| {
            let ways = horn::fingerings(instrument, note.height);
            let below = note.height.midi() < lowest.value.midi();
            let (message, source) = if below {
                let why = if ways.is_empty() {
                    "No fingering gives it."
                } else {
                    "That low, notes speak late, and soft ones may not speak at all."
                };
                let message = format!(
                    "{} is below {}, the lowest note to ask of these players. {why} ",
                    ctx.name_and_height(note),
                    ctx.limit(lowest.value, note),
                );
                (message, lowest.source)
            } else if lacks(instrument, note.height) {
                let message = format!(
                    "{} is missing on a {instrument} horn: its one side has no usual fingering for it, and a double horn plays it on the \
                     other side. ",
                    ctx.name_and_height(note),
                );
                (message, horn::fingering_source())
            } else {
                return None;
            };
            let higher = octaves_up(instrument, note.height, lowest.value);
            let elsewhere = if below {
                "to a lower instrument"
            } else {
                "to a player with a double horn"
            };
            let message = format!(
                "{message}Write it {} higher, or give it {elsewhere}.",
                octaves(higher),
            );
            let finding = ctx
                .finding(&RULE, note.pitch_span, message, &source)
                .at_bar(note.number)
                .fix(
                    Safety::Review,
                    format!("Move {} up {}", note.written, octaves(higher)),
                    PartContext::octaves([note.span], higher),
                );
            Some(if ways.is_empty() {
                finding.graver(Severity::Error)
            } else {
                finding
            })
        })
        .collect()
}

/// Whether a note is ordinary on the double horn and not on this one.
fn lacks(instrument: Instrument, height: Height) -> bool {
    horn::has_ordinarily(Instrument::Double, height) && !horn::has_ordinarily(instrument, height)
}

/// How many octaves bring a note up to a limit, or above it, and to where the instrument has it.
fn octaves_up(instrument: Instrument, height: Height, limit: Height) -> i8 {
    let least = ((limit.midi() - height.midi() + 11) / 12).clamp(1, 9);
    let reached = (least..=9)
        .find(|octaves| !lacks(instrument, Height::from_midi(height.midi() + 12 * octaves)));
    reached.unwrap_or(least) as i8
}
