//! `range/too-high`: notes above what the players reach.

use horn::{Height, Instrument};

use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::{Severity, rule};
use crate::setting::{Kind, Setting, pitch};

static HIGHEST: Setting = Setting {
    name: "highest",
    what: "The highest note to ask for, as written for horn in F.",
    kind: Kind::Pitch,
    default: |level| pitch(horn::highest(level)),
};

rule! {
    /// A note above what the players can be asked for.
    ///
    /// ## Why it matters
    /// High notes sit where the partials of the horn lie a step apart: the lip alone has to find them, and near
    /// the top a note is missed, forced, or not there at all. Reaching for it again and again strains the lip;
    /// what a player should attempt is for the player and a teacher to say.
    ///
    /// ## What to write instead
    /// Write it an octave lower (the fix), give it to another instrument, or set `highest` for players you know.
    ///
    /// ## Source
    /// Written C6 as the top of the valve horn: Rimsky-Korsakov, *Principles of Orchestration* (English edition
    /// 1922), table C, p. 25. What student and community players reach is bellhand's own choice. Where a house sets
    /// `highest` higher still, the last note the part's instrument has a fingering for is the limit: E6 on the double
    /// horn, C6 on a single F, in Smalley, *Double Horn Fingering Dictionary* (2025).
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// c' e' g' c' |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// c e g c' |]
    /// ```
    "range/too-high", Warning, Player(check), settings: [HIGHEST], rests_on: Crook
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let highest = ctx.pitch(&RULE, &HIGHEST);
    let beyond = horn::beyond_all_players().value.midi();
    let instrument = ctx.instrument();
    let top = top(instrument);
    ctx.part
        .notes
        .iter()
        .filter(|note| !note.tied_from)
        .filter_map(|note| {
            let (limit, source, why) = if note.height.midi() > highest.value.midi() {
                let why = format!(
                    "is above {}, the highest note to ask of these players. Up there it will be missed or forced.",
                    ctx.limit(highest.value, note)
                );
                (highest.value, highest.source, why)
            } else {
                let top = top.filter(|top| *top < note.height)?;
                let why = format!(
                    "is above {}, the highest note with a known fingering on the {instrument} horn.",
                    ctx.limit(top, note)
                );
                (top, horn::fingering_source(), why)
            };
            let lower = octaves_down(note.height.midi(), limit.midi());
            let message = format!(
                "{} {why} Write it {} lower, or give it to another instrument.",
                ctx.name_and_height(note),
                octaves(lower),
            );
            let finding = ctx
                .finding(&RULE, note.pitch_span, message, &source)
                .at_bar(note.number)
                .fix(
                    Safety::Review,
                    format!("Move {} down {}", note.written, octaves(lower)),
                    PartContext::octaves([note.span], -lower),
                );
            Some(if note.height.midi() >= beyond {
                finding.graver(Severity::Error)
            } else {
                finding
            })
        })
        .collect()
}

/// The highest note an instrument has a fingering for.
fn top(instrument: Instrument) -> Option<Height> {
    let beyond = horn::beyond_all_players().value.midi();
    (horn::extreme_low().value.midi()..=beyond)
        .rev()
        .map(Height::from_midi)
        .find(|height| !horn::fingerings(instrument, *height).is_empty())
}

/// How many octaves bring a height to a limit or below it.
fn octaves_down(height: i32, limit: i32) -> i8 {
    ((height - limit + 11) / 12).clamp(1, 9) as i8
}

/// A number of octaves in words.
pub(super) fn octaves(count: i8) -> String {
    match count {
        1 => "an octave".to_owned(),
        n => format!("{n} octaves"),
    }
}
