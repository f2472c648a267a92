//! `doubling/drowned`: a horn in unison with what drowns it.

use horn::{Family, OrchestraInstrument};
use reading::Around;

use super::runs;
use crate::balance::{COVERED_BY, bars, strongest};
use crate::context::AmongContext;
use crate::finding::Finding;
use crate::rule::rule;
use crate::setting::{Kind, Setting, seconds};

static FOR: Setting = Setting {
    name: "for",
    what: "For how many seconds a horn may play what others drown in unison.",
    kind: Kind::Seconds,
    default: |_| seconds(horn::drowned_for()),
};

rule! {
    /// A horn that plays the very notes of much louder brass.
    ///
    /// ## Why it matters
    /// In unison with trumpets or trombones that carry several times as much, a horn adds nothing that is heard: neither
    /// loudness nor colour. The player spends lip and breath for it all the same.
    ///
    /// ## What to write instead
    /// Give the horn the octave, the harmony or a held note, or let it rest for what comes.
    ///
    /// ## Source
    /// What each instrument weighs: Rimsky-Korsakov, *Principles of Orchestration* (English edition 1922), p. 33. How much
    /// drowns a unison, and for how long, is bellhand's own choice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=72
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// V:2 name="Trombone 1"
    /// V:3 name="Trombone 2"
    /// [V:1] !f!c d2 c | e2 z2 | c d2 c | e2 z2 |]
    /// [V:2] !f!F G2 F | A2 z2 | F G2 F | A2 z2 |]
    /// [V:3] !f!F G2 F | A2 z2 | F G2 F | A2 z2 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=72
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// V:2 name="Trombone 1"
    /// [V:1] !f!c d2 c | e2 z2 | c d2 c | e2 z2 |]
    /// [V:2] !mf!F G2 F | A2 z2 | F G2 F | A2 z2 |]
    /// ```
    "doubling/drowned", Hint, PlayerAmong(check), settings: [FOR, COVERED_BY], rests_on: Crook
}

fn check(ctx: &AmongContext<'_>) -> Vec<Finding> {
    let (least, times) = (ctx.seconds(&RULE, &FOR), ctx.number(&RULE, &COVERED_BY));
    if !ctx.reading.has(Family::Brass) {
        return Vec::new();
    }
    let doubling = |around: &Around<'_>| -> Vec<(usize, f64)> {
        let same = around.against().filter(|other| {
            other.unison && other.instrument.map(OrchestraInstrument::family) == Some(Family::Brass)
        });
        same.map(|other| (other.part, other.force.unwrap_or_default()))
            .collect()
    };
    let drowned = |around: &Around<'_>| {
        let force: f64 = doubling(around).iter().map(|(_, force)| force).sum();
        around.own().is_some_and(|own| force >= times.value * own)
    };
    let runs = runs(ctx, least.value.0, drowned);
    let findings = runs.into_iter().filter_map(|run| {
        let (first, last) = (*run.first()?, *run.last()?);
        let shares = run.iter().flat_map(|note| doubling(&ctx.reading.around(ctx.part, note)));
        let message = format!(
            "The horn plays the same notes as {} {}, against at least {} times its force. What the horn adds is not heard, and \
             costs lip and breath. Give it the octave, the harmony or a held note, or let it rest.",
            strongest(ctx, shares),
            bars(first.number, last.number),
            times.value,
        );
        let finding = ctx.finding(&RULE, first.pitch_span, message, &Family::Horns.forte().source);
        Some(finding.at_bar(first.number))
    });
    findings.collect()
}
