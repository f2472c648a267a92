//! `section/balance`: too few horns against the other brass in forte.

use std::cell::OnceCell;
use std::collections::BTreeMap;

use horn::{Dynamic, Family, Loudness};
use reading::{Around, HornPart, PlayedNote};

use crate::context::PieceContext;
use crate::finding::{Finding, Fix, Safety};
use crate::louder::Marks;
use crate::rule::rule;
use crate::setting::{Kind, Setting, number};

static BARS: Setting = Setting {
    name: "bars",
    what: "How many bars in a row the others must outweigh the horns before it is reported.",
    kind: Kind::Number("bars"),
    default: |_| number(horn::bars_outweighed(), "bars"),
};

rule! {
    /// Horns with notes of their own in forte, and fewer than two of them for each trumpet or trombone that is as loud.
    ///
    /// ## Why it matters
    /// In forte one trumpet or trombone carries as far as two horns. With only one horn for each, the horns are not heard,
    /// and their players are tempted to force.
    ///
    /// ## What to write instead
    /// Double the horns, mark them a degree louder, or give them a line of their own register. Where a degree louder is
    /// enough, and the passage has marks of its own, a fix writes it.
    ///
    /// ## Source
    /// One trumpet, trombone or tuba balances two horns in forte; where horns cannot be doubled, a degree louder:
    /// Rimsky-Korsakov, *Principles of Orchestration* (English edition 1922), pp. 23, 33, 85. Where the others play the
    /// horns' notes too, in whatever octave, nothing is lost; for how many bars they may be outweighed is bellhand's own
    /// choice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// V:2 name="Trumpet 1"
    /// V:3 name="Trumpet 2"
    /// [V:1] !ff! c4 | g4 |]
    /// [V:2] !ff! c4 | g4 |]
    /// [V:3] !ff! c4 | g4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horns 1.2. in F" transpose=-7
    /// V:2 name="Trumpet"
    /// [V:1] !ff! [ce]4 | [eg]4 |]
    /// [V:2] !ff! c4 | g4 |]
    /// ```
    "section/balance", Hint, Piece(check), settings: [BARS], rests_on: Crooks
}

/// A bar as far as the horns are outweighed in it.
#[derive(Default)]
struct Bar<'a> {
    /// Loud attacks of all horns.
    attacks: Vec<(&'a HornPart, &'a PlayedNote)>,
    /// Those that the other brass outweighs.
    outweighed: usize,
    /// The first of these, with its part.
    first: Option<(&'a HornPart, &'a PlayedNote)>,
    /// The most horns, and the most of the others, that sound at one of them.
    horns: usize,
    brass: usize,
}

fn check(ctx: &PieceContext<'_>) -> Vec<Finding> {
    let reading = ctx.reading;
    if !reading.has(Family::Brass) {
        return Vec::new();
    }
    let forte = Loudness::of(Dynamic::F);
    let mut bars: BTreeMap<usize, Bar<'_>> = BTreeMap::new();
    for horn in &reading.horns {
        for note in horn
            .notes
            .iter()
            .filter(|note| !note.tied_from && !note.grace)
        {
            let around = reading.around(horn, note);
            let Some(loud) = around.loudness.filter(|loudness| *loudness >= forte) else {
                continue;
            };
            let bar = bars.entry(note.bar).or_default();
            bar.attacks.push((horn, note));
            let (horns, brass) = weigh(&around, note, loud);
            if outweighs(horns, brass) {
                bar.outweighed += 1;
                bar.horns = bar.horns.max(horns);
                bar.brass = bar.brass.max(brass);
                bar.first.get_or_insert((horn, note));
            }
        }
    }
    let least = ctx.house.number(RULE.name, &BARS);
    bars.retain(|_, bar| 2 * bar.outweighed > bar.attacks.len());
    let outweighed: Vec<(usize, Bar<'_>)> = bars.into_iter().collect();
    let runs = outweighed.chunk_by(|(one, _), (next, _)| one + 1 == *next);
    let runs = runs.filter(|run| run.len() as f64 >= least.value);
    let marks = OnceCell::new();
    let all = || Marks::of(reading, reading.horns.iter().map(|horn| horn.seat.part));
    runs.filter_map(|run| {
        let (_, first) = run.first()?;
        let (horn, note) = first.first?;
        let horns = run.iter().map(|(_, bar)| bar.horns).max()?;
        let brass = run.iter().map(|(_, bar)| bar.brass).max()?;
        let message = format!(
            "{horns} horn{} with notes of {} own play{} against {brass} other brass at the same loudness for {} bars from here on. In \
             forte each of those carries as far as two horns, and the horns will not be heard. Double them, mark them a degree \
             louder, or thin out the others.",
            if horns == 1 { "" } else { "s" },
            if horns == 1 { "its" } else { "their" },
            if horns == 1 { "s" } else { "" },
            run.len(),
        );
        let source = horn::horns_for_one_brass().source;
        let mut finding = Finding::new(&RULE, note.pitch_span, message, &source);
        finding.part = Some(horn.label.clone());
        let notes = run.iter().flat_map(|(_, bar)| &bar.attacks);
        let notes: Vec<_> = notes.copied().collect();
        let louder = are_heard_louder(ctx, &notes).then(|| marks.get_or_init(all).louder(&notes));
        finding.fixes.extend(louder.flatten().map(|(intents, letters)| Fix {
            safety: Safety::Review,
            title: format!("Mark the horns {letters}, a degree louder"),
            intents,
        }));
        Some(finding.at_bar(note.number))
    })
    .collect()
}

/// Whether none of some notes is outweighed, had they been marked a degree louder.
fn are_heard_louder(ctx: &PieceContext<'_>, notes: &[(&HornPart, &PlayedNote)]) -> bool {
    notes.iter().all(|(horn, note)| {
        let around = ctx.reading.around(horn, note).louder(1.0);
        let loud = around.loudness;
        let weighed = loud.map(|loud| weigh(&around, note, loud));
        weighed.is_some_and(|(horns, brass)| !outweighs(horns, brass))
    })
}

/// Whether so many of the other brass outweigh so many horns.
const fn outweighs(horns: usize, brass: usize) -> bool {
    brass > 0 && horns < horn::horns_for_one_brass().value * brass
}

/// How many horns sound at an attack, and how many of the other brass that are as loud as it. None of these count where
/// one of them has the horn's note, in whatever octave.
fn weigh(around: &Around<'_>, note: &PlayedNote, loud: Loudness) -> (usize, usize) {
    let (mut horns, mut brass) = (note.players.count().max(around.on_staff), 0);
    for other in around.others() {
        match other.instrument.map(horn::OrchestraInstrument::family) {
            Some(Family::Horns) => horns += other.sounds,
            Some(Family::Brass) if other.loudness.is_some_and(|other| other >= loud) => {
                if other.same_class {
                    return (horns, 0);
                }
                brass += other.sounds;
            }
            _ => {}
        }
    }
    (horns, brass)
}
