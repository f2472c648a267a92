//! `balance/covered-solo`: a solo that the others drown.

use std::cell::OnceCell;
use std::collections::BTreeSet;

use reading::PlayedNote;

use super::passage::{bars, covering, covering_if, passages};
use super::{COVERED_BY, NOTES};
use crate::context::AmongContext;
use crate::finding::{Finding, Fix, Safety};
use crate::louder::Marks;
use crate::rule::rule;

rule! {
    /// A solo under parts that together carry several times as much as the horn.
    ///
    /// ## Why it matters
    /// A player who cannot be heard plays louder, and a forced horn loses the tone that the solo was given to it for. The
    /// listener hears that somebody struggles, and not the tune.
    ///
    /// ## What to write instead
    /// Mark the others softer or let fewer of them play; give the solo a degree more, or write it where the horn carries
    /// better, from written G4 up. Where one degree makes it heard by the same reckoning, and the solo has a mark of its
    /// own, a fix writes it.
    ///
    /// ## Source
    /// Heavy scoring over a solo as a sign of bad writing for the horn: Hembd and Ericson, *Horn Matters* (2009, 2011).
    /// What each instrument weighs (in forte a horn or a section of strings two woodwinds, a trumpet, trombone or tuba
    /// four; in piano all alike) and that one degree louder stands for a doubling: Rimsky-Korsakov, *Principles of
    /// Orchestration* (English edition 1922), pp. 33 and 85. What lies between piano and forte, and how much covers a
    /// horn, is bellhand's own choice. Percussion, keyboards, voices and parts without a dynamic are left out, since
    /// nothing is known of their weight.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// V:2 name="Trumpet"
    /// V:3 name="Trombone"
    /// [V:1] "^solo" !p!c d e f | g4 |]
    /// [V:2] !f!g4 | e4 |]
    /// [V:3] !f!C4 | C4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// V:2 name="Clarinet"
    /// V:3 name="Bassoon"
    /// [V:1] "^solo" !mf!c d e f | g4 |]
    /// [V:2] !p!E4 | G4 |]
    /// [V:3] !p!C4 | C4 |]
    /// ```
    "balance/covered-solo", Warning, PlayerAmong(check), settings: [COVERED_BY, NOTES], rests_on: Crook
}

fn check(ctx: &AmongContext<'_>) -> Vec<Finding> {
    let (times, least) = (ctx.number(&RULE, &COVERED_BY), ctx.number(&RULE, &NOTES));
    let solos = passages(
        ctx,
        |note| note.marked.solo.is_some(),
        |before, note| before.marked.solo == note.marked.solo,
    );
    // One note struck again and again is a call or a pedal, and no tune.
    let solos = solos.into_iter().filter(|solo| {
        let pitches: BTreeSet<i32> = solo.iter().map(|note| note.height.midi()).collect();
        pitches.len() as f64 >= least.value
    });
    let marks = OnceCell::new();
    let own = || Marks::of(ctx.reading, [ctx.part.seat.part]);
    let findings = solos.filter_map(|solo| {
        let against = covering(ctx, &solo, times.value, false)?;
        let note = against.first;
        let message = format!(
            "{} this solo {}, with about {:.0} times what the horn carries as marked. The tune will not be heard, and forcing it only \
             makes it rough. Mark the others softer or let fewer play, or mark the solo louder.",
            against.cover,
            bars(note.number, against.last),
            against.times,
        );
        let dynamic = note.marked.dynamic.map(|(_, mark)| mark);
        let mut finding = ctx
            .finding(&RULE, note.pitch_span, message, &horn::Family::Horns.forte().source)
                .at_bar(note.number)
                .related(note.marked.solo, "the mark that asks for it to be heard")
                .related(dynamic, "how loud it is marked");
        let heard = covering_if(ctx, &solo, times.value, false, 1.0).is_none();
        finding.fixes.extend(heard.then(|| mark_louder(ctx, marks.get_or_init(own), &solo)).flatten());
        Some(finding)
    });
    findings.collect()
}

/// The solo a degree louder.
fn mark_louder(ctx: &AmongContext<'_>, marks: &Marks<'_>, solo: &[&PlayedNote]) -> Option<Fix> {
    let notes: Vec<_> = solo.iter().map(|note| (ctx.part, *note)).collect();
    let (intents, letters) = marks.louder(&notes)?;
    Some(Fix {
        safety: Safety::Review,
        title: format!("Mark the solo {letters}, a degree louder"),
        intents,
    })
}
