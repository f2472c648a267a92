//! Fast runs: notes that follow each other without rest, quicker than a speed.

use reading::{HornPart, PlayedNote};
use score::Row;

/// Notes the main player attacks, grace notes and held notes left out.
pub(super) fn attacks(part: &HornPart) -> Row<&PlayedNote> {
    part.notes
        .iter()
        .filter(|note| note.leads() && !note.tied_from && !note.grace)
        .collect()
}

/// Seconds from one attack to the next; `None` when a rest lies between.
pub(super) fn step(from: &PlayedNote, to: &PlayedNote) -> Option<f64> {
    let seconds = (to.starts - from.starts).0;
    (to.since_rest.0 > 0.0 && seconds > 0.0).then_some(seconds)
}

/// The runs in which each note follows the one before sooner than `speed` notes a second would, and for which
/// `also` holds between the two; only those of at least `least` notes.
pub(super) fn faster_than<'a>(
    attacks: &'a [&'a PlayedNote],
    speed: f64,
    least: f64,
    also: impl Fn(&PlayedNote, &PlayedNote) -> bool,
) -> impl Iterator<Item = &'a [&'a PlayedNote]> {
    let longest = 1.0 / speed.max(0.1) - 1e-6;
    attacks
        .chunk_by(move |from, to| {
            step(from, to).is_some_and(|seconds| seconds < longest) && also(from, to)
        })
        .filter(move |run| run.len() as f64 >= least.max(2.0))
}

/// At what multiple of its speed no two notes of a run follow each other sooner than `speed` notes a second would.
pub(super) fn ceases(run: &[&PlayedNote], speed: f64) -> f64 {
    run.windows(2)
        .filter_map(|pair| step(pair[0], pair[1]))
        .fold(f64::INFINITY, f64::min)
        * speed
}

/// The notes a second of a run, from its first attack to its last.
pub(super) fn speed(run: &[&PlayedNote]) -> f64 {
    match (run.first(), run.last()) {
        (Some(first), Some(last)) if last.starts > first.starts => {
            (run.len() - 1) as f64 / (last.starts - first.starts).0
        }
        _ => 0.0,
    }
}
