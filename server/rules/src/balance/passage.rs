//! A passage and what plays against it: how much, who most of all, and in which bars.

use std::collections::BTreeMap;

use horn::{Beside, Dynamic, Loudness};
use reading::{PlayedNote, Playing};
use theory::Quarters;

use crate::context::PartContext;

/// What is against a passage.
pub(super) struct Against {
    /// How many times the horn's own weight the others have, where they cover it, on average.
    pub times: f64,
    /// The parts that carry most there, the strongest first, and that they cover it: `Trumpet 1 and Trombone cover`.
    pub cover: String,
    /// The first covered note.
    pub first: PlayedNote,
    /// The number of the last bar in which it is covered.
    pub last: u32,
}

/// Parts that are named; further ones are counted.
const NAMED: usize = 3;

/// Quarter notes before a passage in which its own dynamic may stand: what was marked long before, as old copies leave
/// it, says too little of a new beginning. This project's choice: four bars.
const FRESH: i64 = 16;

/// What covers a passage: at half of its attacks at least the others that are louder, or as loud in forte, must have so
/// many times its weight. Other horns are among these others, or play with it.
pub(super) fn covering(
    ctx: &PartContext<'_>,
    passage: &[&PlayedNote],
    times: f64,
    with_horns: bool,
) -> Option<Against> {
    let begins = passage.first()?.onset;
    let mut shares: Vec<(usize, f64)> = Vec::new();
    let mut covered: Vec<(&PlayedNote, f64)> = Vec::new();
    let mut known = 0;
    for note in passage {
        let around = ctx.reading.around(ctx.part, note);
        let fresh = around
            .marked
            .is_some_and(|marked| marked + Quarters::whole(FRESH) >= begins);
        let Some(mut own) = around.own.filter(|_| fresh) else {
            continue;
        };
        known += 1;
        let horns = |other: &Playing| other.instrument == Some(Beside::Horn);
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
    if 2 * covered.len() < passage.len() || known < passage.len().div_ceil(2) {
        return None;
    }
    let sum: f64 = covered.iter().map(|(_, by)| by).sum();
    Some(Against {
        times: sum / covered.len() as f64,
        cover: format!(
            "{} {}",
            strongest(ctx, shares.iter().copied()),
            if shares
                .iter()
                .all(|(part, _)| Some(*part) == shares.first().map(|(part, _)| *part))
            {
                "covers"
            } else {
                "cover"
            }
        ),
        first: (*first).clone(),
        last: last.number,
    })
}

/// The names of the parts with the greatest shares of force, of which each part may have several.
pub(crate) fn strongest(
    ctx: &PartContext<'_>,
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

/// The attacks of a player's line, cut into passages wherever `same` says that the next is of another.
pub(super) fn passages<'a>(
    ctx: &PartContext<'a>,
    same: impl Fn(&PlayedNote, &PlayedNote) -> bool,
) -> Vec<Vec<&'a PlayedNote>> {
    let mut passages: Vec<Vec<&PlayedNote>> = Vec::new();
    let attacks = ctx.part.notes.iter();
    for note in
        attacks.filter(|note| note.leads() && !note.tied_from && note.length > Quarters::ZERO)
    {
        let last = passages.last_mut();
        match last.filter(|last| last.last().is_some_and(|before| same(before, note))) {
            Some(passage) => passage.push(note),
            None => passages.push(vec![note]),
        }
    }
    passages
}
