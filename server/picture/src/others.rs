//! What the others carry behind a solo: a grey ground that rises with their force.

use std::io;

use reading::Playing;
use theory::Seconds;

use crate::clock::Clock;
use crate::glyph::SPACE;
use crate::ink::{Area, Ink};
use crate::subject::Subject;

/// Seconds are sums of fractions; times nearer than this are the same.
const INSTANT: f64 = 1e-6;

/// What sounds behind one note of a solo.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Ground {
    /// When the note begins and ends.
    from: Seconds,
    to: Seconds,
    /// How many times the horn's own weight the others have.
    times: f64,
}

/// What sounds behind each note of the part's solos, where the score says how loud it is.
pub(crate) fn grounds(subject: &Subject<'_>) -> Vec<Ground> {
    let solo =
        |note: &&reading::PlayedNote| note.marked.solo.is_some() && note.leads() && !note.grace;
    let notes = subject.horn.notes.iter().filter(solo);
    let grounds = notes.filter_map(|note| {
        let around = subject.reading.around(subject.horn, note);
        let own = around.own().filter(|own| *own > 0.0)?;
        let against = |other: Playing| other.force;
        let times = around.against().filter_map(against).sum::<f64>() / own;
        (times > 0.0).then_some(Ground {
            from: note.starts,
            to: note.ends,
            times,
        })
    });
    let mut grounds: Vec<Ground> = grounds.collect();
    grounds.sort_by(|one, other| one.from.0.total_cmp(&other.from.0));
    grounds
}

/// Draws the grounds of a line. One that fills the staff has so much that it covers a horn (`horn::covered_by`).
pub(crate) fn draw(ink: &mut Ink<'_>, clock: &Clock, grounds: &[Ground]) -> io::Result<()> {
    let Some((begins, ends)) = clock.span() else {
        return Ok(());
    };
    let foot = 2.0 * SPACE;
    let covers = horn::covered_by().value.max(f64::EPSILON);
    let first = grounds.partition_point(|ground| ground.from.0 < begins);
    let here = grounds.iter().skip(first);
    let mut before: Option<(Seconds, f64)> = None;
    for ground in here.take_while(|ground| ground.from.0 < ends) {
        let height = (ground.times / covers).min(1.0) * 2.0 * foot;
        // A bar's end is at its barline, and what goes on there has no gap.
        let joined = before.filter(|(ended, _)| (ended.0 - ground.from.0).abs() < INSTANT);
        let left = joined.map_or_else(|| clock.x(ground.from), |(_, right)| right);
        let right = clock.x(Seconds(ground.to.0 - INSTANT)).max(left);
        ink.bar("others", Area::new(left, right, foot - height, foot))?;
        before = Some((ground.to, right));
    }
    Ok(())
}
