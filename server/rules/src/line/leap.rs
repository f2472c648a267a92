//! `line/leap`: a wide leap up to where the partials lie close.

use std::collections::BTreeSet;

use score::Span;
use theory::Interval;

use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::rule;
use crate::setting::{Kind, Setting, number, pitch, seconds};

use super::run;

static INTERVAL: Setting = Setting {
    name: "interval",
    what: "The smallest leap to speak of.",
    kind: Kind::Number("semitones"),
    default: |_| number(horn::wide_leap(), "semitones"),
};

static FROM: Setting = Setting {
    name: "from",
    what: "The lowest note such a leap is treacherous to reach, as written for horn in F.",
    kind: Kind::Pitch,
    default: |_| pitch(horn::leap_from()),
};

static TIME: Setting = Setting {
    name: "time",
    what: "Seconds on the note before from which on the leap can be prepared.",
    kind: Kind::Seconds,
    default: |_| seconds(horn::time_to_prepare_leap()),
};

rule! {
    /// A quick leap of a seventh or more to a note above the staff.
    ///
    /// ## Why it matters
    /// Above the staff the partials of the horn lie a step apart, and the same fingering gives several notes. The
    /// lip alone must find the right one; after a wide leap, without time to hear it first, the neighbour speaks
    /// instead.
    ///
    /// ## What to write instead
    /// Lead up by smaller steps or a chord's notes, give the note before more time or a rest after it, or approach
    /// the high note from a rest.
    ///
    /// ## Source
    /// That leaps of a seventh to above the staff are treacherous: Goss, *Orchestration Online*, on the lyrical character
    /// of horns. How much time makes a leap safe is bellhand's own choice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/8
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !f!c b c b z4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/8
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !f!c e g a z4 |]
    /// ```
    "line/leap", Information, Player(check), settings: [INTERVAL, FROM, TIME], rests_on: Crook
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let interval = ctx.number(&RULE, &INTERVAL);
    let from = ctx.pitch(&RULE, &FROM).value;
    let time = ctx.seconds(&RULE, &TIME).value.0;
    // A rip is a leap with a way of its own.
    let reached: BTreeSet<Span> = ctx
        .part
        .rips
        .iter()
        .filter_map(|rip| ctx.part.notes.get(rip.to).map(|note| note.span))
        .collect();
    run::attacks(ctx.part)
        .windows(2)
        .filter_map(|pair| {
            let (low, high) = (pair[0], pair[1]);
            let leap = high.height.midi() - low.height.midi();
            let seconds = run::step(low, high)?;
            if seconds >= time - 1e-6 || f64::from(leap) < interval.value || high.height < from || reached.contains(&high.span) {
                return None;
            }
            let message = format!(
                "A quick leap of {} from {} up to {}. Up there the partials lie a step apart and the lip alone must find the right \
                 one; without time to hear it first, the neighbouring note may speak instead ({}). Lead up by smaller steps, or \
                 give it more time.",
                Interval::spoken(leap),
                low.written,
                ctx.name(high),
                ctx.tempo_words(low),
            );
            Some(
                ctx.at_tempo(
                    ctx.finding(&RULE, high.pitch_span, message, &interval.source)
                        .at_bar(high.number)
                        .related(Some(low.pitch_span), "the note before the leap"),
                    low,
                    seconds / time,
                ),
            )
        })
        .collect()
}
