//! Breath and lip below the staff: how much is spent, and where it comes back.

use std::io;

use crate::page::System;
use crate::sheet::{Sheet, Tag, short};
use crate::subject::Subject;
use crate::systems::Stretch;
use crate::time::Axis;

/// How high a curve's lane is.
pub(crate) const LANE: f64 = 22.0;
/// A lane reaches so far beyond its limit.
const BEYOND: f64 = 1.5;

/// A curve over the line of time: places and shares of the limit.
pub(crate) type Curve = Vec<(f64, f64)>;

/// The share of a breath that is spent.
pub(crate) fn breath(subject: &Subject<'_>, axis: &Axis) -> Curve {
    let mut curve = Curve::new();
    for (note, effort) in subject.horn.played() {
        let x = axis.x(note.starts);
        let last = curve.last().copied();
        if let Some((ended, _)) = last.filter(|_| effort.breath.before <= 0.0) {
            // The air is back as soon as it is taken.
            curve.extend([(ended, 0.0), (x, 0.0)]);
        }
        curve.extend([
            (x, effort.breath.before),
            (axis.x(note.ends), effort.breath.after),
        ]);
    }
    ended(curve)
}

/// The share of the load that tires the lip.
pub(crate) fn lip(subject: &Subject<'_>, axis: &Axis) -> Curve {
    let capacity = subject.horn.endurance.capacity.0.max(f64::EPSILON);
    let recovery = subject.horn.endurance.recovery.max(f64::EPSILON);
    let mut curve = Curve::new();
    let mut last = None;
    for (note, effort) in subject.horn.played() {
        if let Some((ends, after)) = last {
            let healed = theory::Seconds(ends + after / recovery);
            if healed < note.starts {
                curve.push((axis.x(healed), 0.0));
            }
        }
        curve.push((axis.x(note.starts), effort.lip.before / capacity));
        curve.push((axis.x(note.ends), effort.lip.after / capacity));
        last = Some((note.ends.0, effort.lip.after));
    }
    if let Some((ends, after)) = last {
        curve.push((axis.x(theory::Seconds(ends + after / recovery)), 0.0));
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

/// Draws a curve in its lane, whose foot is at `foot`.
pub(crate) fn lane(
    sheet: &mut Sheet,
    system: &System<'_>,
    (name, curve): (&str, &Curve),
    foot: f64,
) -> io::Result<()> {
    let right = system.left + system.stretch.to - system.stretch.from;
    let (limit, top) = (foot - LANE / BEYOND, foot - LANE);
    let label = Tag::new("text").word("class", "register");
    sheet.text(label.numbers([("x", 2.0), ("y", foot - 3.0)]), name)?;
    let over = Tag::new("rect").word("class", "over");
    let over = over.numbers([("x", system.left), ("width", right - system.left)]);
    sheet.empty(over.numbers([("y", top), ("height", limit - top)]))?;
    let points = clipped(curve, system.stretch);
    if let (Some((first, _)), Some((last, _))) = (points.first(), points.last()) {
        let mut path = format!("M{} {}", short(system.left + first), short(foot));
        for (x, share) in &points {
            let y = foot - share.min(BEYOND) * LANE / BEYOND;
            path.push_str(&format!("L{} {}", short(system.left + x), short(y)));
        }
        path.push_str(&format!("L{} {}Z", short(system.left + last), short(foot)));
        let class = format!("curve c-{name}");
        sheet.empty(Tag::new("path").word("class", &class).word("d", &path))?;
    }
    for (class, y) in [("limit", limit), ("line", foot)] {
        let line = Tag::new("line").word("class", class);
        sheet.empty(line.numbers([("x1", system.left), ("x2", right), ("y1", y), ("y2", y)]))?;
    }
    Ok(())
}

/// The part of a curve that a system shows, places counted from its beginning.
fn clipped(curve: &Curve, stretch: Stretch) -> Curve {
    let mut part = Curve::new();
    // Places only go forward; one before the system and one behind it are enough.
    let first = curve.partition_point(|(x, _)| *x < stretch.from);
    let last = curve.partition_point(|(x, _)| *x <= stretch.to);
    let near = first.saturating_sub(1)..(last + 1).min(curve.len());
    for pair in curve.get(near).unwrap_or_default().windows(2) {
        let &[(from, low), (to, high)] = pair else {
            continue;
        };
        // What falls where a system begins has been shown at the end of the one above.
        if to <= stretch.from || from > stretch.to {
            continue;
        }
        let value = |x: f64| {
            if to - from > f64::EPSILON {
                low + (high - low) * (x - from) / (to - from)
            } else {
                high
            }
        };
        let (inside, until) = (from.max(stretch.from), to.min(stretch.to));
        let begins = if from < stretch.from {
            value(inside)
        } else {
            low
        };
        let ends = if to > stretch.to { value(until) } else { high };
        part.push((inside - stretch.from, begins));
        part.push((until - stretch.from, ends));
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
        let first = clipped(
            &curve,
            Stretch {
                from: 0.0,
                to: 15.0,
            },
        );
        assert_eq!(first, [(0.0, 0.0), (10.0, 1.0), (10.0, 0.0), (15.0, 1.0)]);
        let second = clipped(
            &curve,
            Stretch {
                from: 15.0,
                to: 30.0,
            },
        );
        assert_eq!(second, [(0.0, 1.0), (5.0, 2.0)]);
        let at_the_fall = clipped(
            &curve,
            Stretch {
                from: 10.0,
                to: 20.0,
            },
        );
        assert_eq!(at_the_fall, [(0.0, 0.0), (10.0, 2.0)]);
    }
}
