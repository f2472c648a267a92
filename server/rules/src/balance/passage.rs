//! A passage and what plays against it: how much, who most of all, and in which bars.

use std::collections::{BTreeMap, BTreeSet};

use horn::{Dynamic, Loudness, OrchestraInstrument};
use reading::{PlayedNote, Playing};

use crate::context::AmongContext;

/// What is against a passage.
pub(super) struct Against<'a> {
    /// How many times the horn's own weight the others have, where they cover it, on average.
    pub times: f64,
    /// The parts that carry most there, the strongest first, and that they cover it: `Trumpet 1 and Trombone cover`.
    pub cover: String,
    /// The first covered note.
    pub first: &'a PlayedNote,
    /// The number of the last bar in which it is covered.
    pub last: u32,
}

/// Parts that are named; further ones are counted.
const NAMED: usize = 3;

/// What covers a passage as it is marked: at half of its attacks at least the others that are louder, or as loud in forte,
/// must have so many times its weight. Other horns are among these others, or play with it.
pub(super) fn covering<'a>(
    ctx: &AmongContext<'_>,
    passage: &[&'a PlayedNote],
    times: f64,
    with_horns: bool,
) -> Option<Against<'a>> {
    covering_if(ctx, passage, times, with_horns, 0.0)
}

/// The same, had the passage been marked so many degrees louder.
pub(super) fn covering_if<'a>(
    ctx: &AmongContext<'_>,
    passage: &[&'a PlayedNote],
    times: f64,
    with_horns: bool,
    louder: f64,
) -> Option<Against<'a>> {
    let begins = passage.first()?.onset;
    let mut shares: Vec<(usize, f64)> = Vec::new();
    let mut covered: Vec<(&'a PlayedNote, f64)> = Vec::new();
    let fresh_for = horn::dynamic_stays_fresh().value;
    for note in passage {
        let around = ctx.reading.around(ctx.part, note).louder(louder);
        let fresh = around
            .marked
            .is_some_and(|marked| (begins - marked).to_f64() <= fresh_for);
        let Some(mut own) = around.own().filter(|_| fresh) else {
            continue;
        };
        let horns = |other: &Playing| other.instrument == Some(OrchestraInstrument::Horn);
        let (with, against): (Vec<Playing>, Vec<Playing>) = around
            .against()
            .partition(|other| with_horns && horns(other));
        let force = |playing: &[Playing]| playing.iter().filter_map(|one| one.force).sum::<f64>();
        own += force(&with);
        // Soft parts round a soft horn leave it to be heard, however many they are.
        let (loud, marked) = (Loudness::of(Dynamic::F), around.loudness);
        let against: Vec<Playing> = against
            .into_iter()
            .filter(|other| other.loudness >= Some(loud) || other.loudness > marked)
            .collect();
        let by = force(&against) / own;
        if by < times {
            continue;
        }
        covered.push((note, by));
        for other in against {
            shares.push((other.part, other.force.unwrap_or_default()));
        }
    }
    let ((first, _), (last, _)) = (covered.first()?, covered.last()?);
    if 2 * covered.len() < passage.len() {
        return None;
    }
    let sum: f64 = covered.iter().map(|(_, by)| by).sum();
    let parts: BTreeSet<usize> = shares.iter().map(|(part, _)| *part).collect();
    let verb = if parts.len() == 1 { "covers" } else { "cover" };
    Some(Against {
        times: sum / covered.len() as f64,
        cover: format!("{} {verb}", strongest(ctx, shares)),
        first,
        last: last.number,
    })
}

/// The names of the parts with the greatest shares of force, of which each part may have several.
pub(crate) fn strongest(
    ctx: &AmongContext<'_>,
    shares: impl IntoIterator<Item = (usize, f64)>,
) -> String {
    let mut sums: BTreeMap<usize, f64> = BTreeMap::new();
    for (part, share) in shares {
        *sums.entry(part).or_default() += share;
    }
    let mut shares: Vec<(usize, f64)> = sums.into_iter().filter(|(_, sum)| *sum > 0.0).collect();
    shares.sort_by(|(_, one), (_, other)| other.total_cmp(one));
    let more = shares.len().saturating_sub(NAMED);
    let mut names: Vec<String> = shares
        .iter()
        .take(NAMED)
        .map(|(part, _)| ctx.reading.label(*part))
        .collect();
    match more {
        0 => {}
        1 => names.extend(shares.get(NAMED).map(|(part, _)| ctx.reading.label(*part))),
        _ => names.push(format!("{more} more parts")),
    }
    match names.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, before)) => format!("{} and {last}", before.join(", ")),
        None => String::new(),
    }
}

/// Bars as words: `in bar 3`, `from bar 3 to bar 8`.
pub(crate) fn bars(first: u32, last: u32) -> String {
    if first >= last {
        format!("in bar {first}")
    } else {
        format!("from bar {first} to bar {last}")
    }
}

/// The attacks of a player's line that are of a kind, cut into passages wherever `same` says that the next is of another.
pub(super) fn passages<'a>(
    ctx: &AmongContext<'a>,
    kind: impl Fn(&PlayedNote) -> bool,
    same: impl Fn(&PlayedNote, &PlayedNote) -> bool,
) -> Vec<Vec<&'a PlayedNote>> {
    let attack = |note: &&PlayedNote| note.leads() && !note.tied_from && !note.grace;
    let attacks: Vec<&PlayedNote> = ctx.part.notes.iter().filter(attack).collect();
    let passages = attacks.chunk_by(|before, note| same(before, note));
    let passages = passages.filter(|passage| passage.first().is_some_and(|note| kind(note)));
    passages.map(<[_]>::to_vec).collect()
}
