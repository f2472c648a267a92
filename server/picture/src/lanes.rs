//! Breath and lip below the staff: how much is spent, and where it comes back.

use std::io;

use theory::Seconds;

use crate::clock::Clock;
use crate::ink::{Area, Ink};
use crate::sheet::{Tag, short};
use crate::subject::Subject;

/// How high a curve's lane is.
pub(crate) const LANE: f64 = 22.0;
/// A lane reaches so far beyond its limit.
const BEYOND: f64 = 1.5;

/// A curve over time: seconds and shares of the limit.
pub(crate) type Curve = Vec<(f64, f64)>;

/// The share of a breath that is spent.
pub(crate) fn breath(subject: &Subject<'_>) -> Curve {
    let mut curve = Curve::new();
    for (note, pass) in subject.horn.played_last() {
        let effort = &pass.effort;
        let x = note.starts.0;
        let last = curve.last().copied();
        if let Some((ended, _)) = last.filter(|_| effort.breath.before <= 0.0) {
            // The air is back as soon as it is taken.
            curve.extend([(ended, 0.0), (x, 0.0)]);
        }
        curve.extend([
            (x, effort.breath.before),
            (note.ends.0, effort.breath.after),
        ]);
    }
    ended(curve)
}

/// The share of the load that tires the lip.
pub(crate) fn lip(subject: &Subject<'_>) -> Curve {
    let capacity = subject.horn.endurance.capacity.0.max(f64::EPSILON);
    let recovery = subject.horn.endurance.recovery.max(f64::EPSILON);
    let mut curve = Curve::new();
    let mut last = None;
    for (note, pass) in subject.horn.played_last() {
        let effort = &pass.effort;
        if let Some((ends, after)) = last {
            let healed = Seconds(ends + after / recovery);
            if healed < note.starts {
                curve.push((healed.0, 0.0));
            }
        }
        curve.push((note.starts.0, effort.lip.before / capacity));
        curve.push((note.ends.0, effort.lip.after / capacity));
        last = Some((note.ends.0, effort.lip.after));
    }
    if let Some((ends, after)) = last {
        curve.push((ends + after / recovery, 0.0));
    }
    curve
}

/// The same curve, back at nothing behind its last place.
fn ended(mut curve: Curve) -> Curve {
    if let Some((x, _)) = curve.last().copied() {
        curve.push((x, 0.0));
    }
    curve
}

/// Draws a curve in its lane between two places, below all ink.
pub(crate) fn lane(
    ink: &mut Ink<'_>,
    clock: &Clock,
    (left, right): (f64, f64),
    name: &str,
    curve: &Curve,
) -> io::Result<()> {
    let Some(span) = clock.span() else {
        return Ok(());
    };
    let foot = ink.room_below(0.0, right, LANE) + LANE;
    let (limit, top) = (foot - LANE / BEYOND, foot - LANE);
    ink.text("register", (2.0, foot - 3.0), name)?;
    ink.bar("over", Area::new(left, right, top, limit))?;
    let points = clipped(curve, span);
    let x = |at: f64| clock.x(Seconds(at)).max(left);
    if let (Some((first, _)), Some((last, _))) = (points.first(), points.last()) {
        let mut path = format!("M{} {}", short(x(*first)), short(foot));
        for (at, share) in &points {
            let y = foot - share.min(BEYOND) * LANE / BEYOND;
            path.push_str(&format!("L{} {}", short(x(*at)), short(y)));
        }
        path.push_str(&format!("L{} {}Z", short(x(*last)), short(foot)));
        let class = format!("curve c-{name}");
        ink.sheet()
            .empty(Tag::new("path").word("class", &class).word("d", &path))?;
    }
    ink.line("limit", (left, limit), (right, limit))?;
    ink.line("line", (left, foot), (right, foot))
}

/// The part of a curve between two moments.
fn clipped(curve: &Curve, (from_moment, to_moment): (f64, f64)) -> Curve {
    let mut part = Curve::new();
    // Places only go forward; one before the system and one behind it are enough.
    let first = curve.partition_point(|(x, _)| *x < from_moment);
    let last = curve.partition_point(|(x, _)| *x <= to_moment);
    let near = first.saturating_sub(1)..(last + 1).min(curve.len());
    for pair in curve.get(near).unwrap_or_default().windows(2) {
        let &[(from, low), (to, high)] = pair else {
            continue;
        };
        // What falls where a system begins has been shown at the end of the one above.
        if to <= from_moment || from > to_moment {
            continue;
        }
        let value = |x: f64| {
            if to - from > f64::EPSILON {
                low + (high - low) * (x - from) / (to - from)
            } else {
                high
            }
        };
        let (inside, until) = (from.max(from_moment), to.min(to_moment));
        let begins = if from < from_moment {
            value(inside)
        } else {
            low
        };
        let ends = if to > to_moment { value(until) } else { high };
        part.push((inside, begins));
        part.push((until, ends));
    }
    part.dedup();
    part
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_curve_is_cut_where_the_system_is() {
        let curve = vec![(0.0, 0.0), (10.0, 1.0), (10.0, 0.0), (20.0, 2.0)];
        let first = clipped(&curve, (0.0, 15.0));
        assert_eq!(first, [(0.0, 0.0), (10.0, 1.0), (10.0, 0.0), (15.0, 1.0)]);
        let second = clipped(&curve, (15.0, 30.0));
        assert_eq!(second, [(15.0, 1.0), (20.0, 2.0)]);
        let at_the_fall = clipped(&curve, (10.0, 20.0));
        assert_eq!(at_the_fall, [(10.0, 0.0), (20.0, 2.0)]);
    }
}
