//! `line/tremolo`: fast slurred alternation over a wide interval.

use reading::PlayedNote;

use super::run;
use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::rule;
use crate::setting::{Kind, Setting, number};

static SPEED: Setting = Setting {
    name: "speed",
    what: "The fastest alternation to ask for.",
    kind: Kind::Number("notes a second"),
    default: |level| number(horn::fastest_tremolo(level), "notes a second"),
};

static INTERVAL: Setting = Setting {
    name: "interval",
    what: "The interval from which alternation is a tremolo and no trill.",
    kind: Kind::Number("semitones"),
    default: |_| number(horn::tremolo_from(), "semitones"),
};

static NOTES: Setting = Setting {
    name: "notes",
    what: "How many notes to and fro make a tremolo.",
    kind: Kind::Number("notes"),
    default: |_| number(horn::notes_of_tremolo(), "notes"),
};

rule! {
    /// Two notes far apart, slurred to and fro faster than the lip goes.
    ///
    /// ## Why it matters
    /// Strings and wood-winds alternate between two notes by moving fingers. On the horn the lip has to find each of
    /// them anew; faster than it can, both are lost in a blur and the player tires at once.
    ///
    /// ## What to write instead
    /// Share the two notes between two horns that repeat one each, write a trill, or slow the figure down.
    ///
    /// ## Source
    /// That the horn has little mobility in spite of its valves: Rimsky-Korsakov, *Principles of Orchestration* (English
    /// edition 1922), p. 24. No published limit was found; the speed, the interval and the number of notes are this
    /// project's choice and yours to set.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/16
    /// Q:1/4=108
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// (cgcg cgcg) c8 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/16
    /// Q:1/4=84
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// (cgcg cgcg) c8 |]
    /// ```
    "line/tremolo", Warning, Player(check), settings: [SPEED, INTERVAL, NOTES]
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let speed = ctx.number(&RULE, &SPEED);
    let (wide, least) = (
        ctx.number(&RULE, &INTERVAL).value,
        ctx.number(&RULE, &NOTES).value,
    );
    let attacks = run::attacks(ctx.part);
    let far = |from: &PlayedNote, to: &PlayedNote| {
        let semitones = (to.height.midi() - from.height.midi()).abs();
        from.slurred_to_next && f64::from(semitones) >= wide
    };
    run::faster_than(&attacks, speed.value, least, far)
        // Each note returns to the one before the last.
        .flat_map(alternating)
        .filter(|run| run.len() as f64 >= least)
        .filter_map(|run| {
            let (first, second, last) = (run.first()?, run.get(1)?, run.last()?);
            let message = format!(
                "{} and {} alternate here under a slur at {:.1} notes a second ({}). The lip has to find each of them anew and \
                 cannot go so fast; up to {} is possible. Share the two notes between two horns, write a trill, or slow it \
                 down.",
                first.written,
                second.written,
                run::speed(run),
                ctx.tempo_words(first),
                speed.value,
            );
            let finding = ctx
                .finding(&RULE, first.pitch_span, message, &speed.source)
                .at_bar(first.number)
                .related(Some(last.pitch_span), "its last note");
            Some(ctx.at_tempo(finding, first, run::ceases(run, speed.value)))
        })
        .collect()
}

/// The stretches of a run in which two notes take turns.
fn alternating<'a>(run: &'a [&'a PlayedNote]) -> impl Iterator<Item = &'a [&'a PlayedNote]> {
    let mut from = 0;
    (2..=run.len()).filter_map(move |place| {
        let returns = run.get(place).is_some_and(|note| {
            run.get(place - 2)
                .is_some_and(|two| two.height == note.height)
        });
        if returns {
            return None;
        }
        let stretch = run.get(from..place);
        from = place - 1;
        stretch
    })
}
