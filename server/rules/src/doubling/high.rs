//! `doubling/high`: a horn that follows the first trumpet or clarinet high up.

use horn::{Height, OrchestraInstrument};
use reading::{Around, PlayedNote};

use super::runs;
use crate::balance::bars;
use crate::context::{AmongContext, PartContext};
use crate::finding::{Finding, Safety};
use crate::rule::rule;
use crate::setting::{Kind, Setting, pitch, seconds};

static FOR: Setting = Setting {
    name: "for",
    what: "For how many seconds a horn may follow the first trumpet or clarinet high up.",
    kind: Kind::Seconds,
    default: |_| seconds(horn::follows_high_for()),
};

static FROM: Setting = Setting {
    name: "from",
    what: "From which note up that is high, as written for horn in F; half of the notes at least lie there.",
    kind: Kind::Pitch,
    default: |_| pitch(horn::follows_high_from()),
};

rule! {
    /// A horn that doubles the first trumpet or clarinet note for note, high up and for long.
    ///
    /// ## Why it matters
    /// What lies well for a trumpet or a clarinet lies at the top of the horn, where the lip has seconds, not minutes. The
    /// player arrives tired at what only the horn can play, and nobody hears the doubling.
    ///
    /// ## What to write instead
    /// Write the line an octave lower (the fix), or give it to a third trumpet.
    ///
    /// ## Source
    /// Parts that double the first trumpet or first clarinet for long lie too high: Hembd, *Horn Matters* (2009). From where
    /// on and for how long is bellhand's own choice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=72
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// V:2 name="Trumpet"
    /// [V:1] !mf!g a2 e | g2 z2 | g a2 e | g2 z2 | g a2 e | g2 z2 | g a2 e | g2 z2 |]
    /// [V:2] !mf!c d2 A | c2 z2 | c d2 A | c2 z2 | c d2 A | c2 z2 | c d2 A | c2 z2 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=72
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// V:2 name="Trumpet"
    /// [V:1] !mf!G A2 E | G2 z2 | G A2 E | G2 z2 | G A2 E | G2 z2 | G A2 E | G2 z2 |]
    /// [V:2] !mf!c d2 A | c2 z2 | c d2 A | c2 z2 | c d2 A | c2 z2 | c d2 A | c2 z2 |]
    /// ```
    "doubling/high", Information, PlayerAmong(check), settings: [FOR, FROM], rests_on: Crook
}

fn check(ctx: &AmongContext<'_>) -> Vec<Finding> {
    let (least, from) = (ctx.seconds(&RULE, &FOR), ctx.pitch(&RULE, &FROM));
    let mut findings = Vec::new();
    for (instrument, word) in [
        (OrchestraInstrument::Trumpet, "trumpet"),
        (OrchestraInstrument::Clarinet, "clarinet"),
    ] {
        let parts = 0..ctx.reading.piece.parts.len();
        let first = parts
            .into_iter()
            .find(|part| ctx.reading.instrument(*part) == Some(instrument));
        let Some(leader) = first else {
            continue;
        };
        let follows = |around: &Around<'_>| {
            around
                .others()
                .any(|other| other.part == leader && other.unison && other.begins)
        };
        for run in runs(ctx, least.value.0, follows) {
            findings.extend(judge(ctx, &run, from.value, leader, word));
        }
    }
    findings
}

fn judge(
    ctx: &AmongContext<'_>,
    run: &[&PlayedNote],
    from: Height,
    leader: usize,
    word: &str,
) -> Option<Finding> {
    let (first, last) = (*run.first()?, *run.last()?);
    let mut heights: Vec<Height> = run.iter().map(|note| note.height).collect();
    heights.sort_unstable();
    let middle = *heights.get(heights.len() / 2)?;
    if middle < from {
        return None;
    }
    let message = format!(
        "The horn plays the same notes as {} {}, mostly from {} up. That lies well for a {word} and high for a horn: the lip \
         tires, and nobody hears the doubling. Write the line an octave lower, or give it to another {word}.",
        ctx.reading.label(leader),
        bars(first.number, last.number),
        ctx.limit(from, first),
    );
    let notes = ctx.part.notes.iter();
    let notes = notes
        .filter(|note| first.onset <= note.onset && note.onset <= last.onset)
        .filter(|note| note.layer == first.layer)
        .map(|note| note.span);
    Some(
        ctx.finding(
            &RULE,
            first.pitch_span,
            message,
            &ctx.seconds(&RULE, &FOR).source,
        )
        .at_bar(first.number)
        .fix(
            Safety::Review,
            "Write the doubled line an octave lower".to_owned(),
            PartContext::octaves(notes, -1),
        ),
    )
}
