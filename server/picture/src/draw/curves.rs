//! Ties and slurs: curves on the side of the heads, clear of what lies between their ends.

use std::collections::{HashMap, HashSet};
use std::io;

use super::beams::Tips;
use super::{Scene, Seen, y_of};
use crate::glyph::SPACE;
use crate::ink::{Area, Ink};
use crate::sheet::{Tag, short};
use crate::staff::slurs::{At, Curve};

/// How thick a curve is in its middle.
const THICK: f64 = 0.2 * SPACE;
/// Between a head and the end of its curve.
const CLEAR: f64 = 0.75 * SPACE;
/// What an articulation between a head and its slur takes.
const SIGN: f64 = 1.0 * SPACE;
/// A slur rises at least and at most so far above its ends.
const LEAST: f64 = 0.9 * SPACE;
const MOST: f64 = 9.0 * SPACE;

pub(super) fn draw(
    ink: &mut Ink<'_>,
    scene: &Scene<'_, '_>,
    tips: &Tips,
    articulated: &HashSet<At>,
) -> io::Result<()> {
    let all: Vec<Seen<'_, '_>> = scene.chords().collect();
    let seen: HashMap<At, usize> = all
        .iter()
        .enumerate()
        .map(|(place, seen)| (seen.at, place))
        .collect();
    let (Some(first), Some(last)) = (
        all.first().map(|seen| seen.at),
        all.last().map(|seen| seen.at),
    ) else {
        return Ok(());
    };
    for curve in scene.curves {
        if (curve.to.0, curve.to.1) < (first.0, first.1) || curve.from > last {
            continue;
        }
        let from = seen.get(&curve.from).and_then(|place| all.get(*place));
        let to = seen.get(&curve.to).and_then(|place| all.get(*place));
        match curve.tie {
            Some(line) => tie(ink, scene, line, from, to)?,
            None => slur(ink, scene, curve, (from, to), (&all, tips, articulated))?,
        }
    }
    Ok(())
}

/// Where a line's music begins: behind clef and signature.
fn beginning(scene: &Scene<'_, '_>) -> f64 {
    scene
        .line
        .pieces
        .first()
        .map_or(scene.left, |piece| piece.left)
}

fn tie(
    ink: &mut Ink<'_>,
    scene: &Scene<'_, '_>,
    line: i32,
    from: Option<&Seen<'_, '_>>,
    to: Option<&Seen<'_, '_>>,
) -> io::Result<()> {
    let Some(one) = from.or(to) else {
        return Ok(());
    };
    let shared = scene
        .measures
        .get(one.at.0)
        .is_some_and(crate::staff::Measure::is_shared);
    let heads = &one.chord.heads;
    let above = heads.iter().filter(|head| head.line > line).count();
    let up = match heads.len() {
        0 | 1 if shared => one.chord.layer == 0,
        0 | 1 => !one.laid.up,
        // In a chord the upper half of the ties goes up.
        count => above * 2 < count,
    };
    let away = if up { -1.0 } else { 1.0 };
    let y = y_of(line) + away * 0.55 * SPACE;
    let left = from.map_or_else(
        || beginning(scene),
        |seen| seen.heads() + crate::layout::columns::head_width(seen.chord) + 0.15 * SPACE,
    );
    let right = to.map_or(scene.line.right, |seen| seen.heads() - 0.15 * SPACE);
    let rise = ((right - left) * 0.12).clamp(0.5 * SPACE, 1.1 * SPACE);
    lens(
        ink,
        "tie",
        (left, y),
        (right.max(left + 4.0), y),
        away * rise,
    )
}

type Around<'a, 's, 'x> = (&'x [Seen<'a, 's>], &'x Tips, &'x HashSet<At>);

fn slur(
    ink: &mut Ink<'_>,
    scene: &Scene<'_, '_>,
    curve: &Curve,
    (from, to): (Option<&Seen<'_, '_>>, Option<&Seen<'_, '_>>),
    (all, tips, articulated): Around<'_, '_, '_>,
) -> io::Result<()> {
    let layer = from.or(to).map(|seen| seen.chord.layer);
    let within = all.iter().filter(|seen| {
        seen.at >= curve.from
            && (seen.at.0, seen.at.1) <= (curve.to.0, curve.to.1)
            && layer.is_none_or(|layer| seen.chord.layer == layer)
            && !seen.chord.is_rest()
    });
    let within: Vec<&Seen<'_, '_>> = within.collect();
    let (Some(first), Some(last)) = (within.first(), within.last()) else {
        return Ok(());
    };
    let shared = within.iter().any(|seen| {
        scene
            .measures
            .get(seen.at.0)
            .is_some_and(crate::staff::Measure::is_shared)
    });
    // Above, unless every stem goes up.
    let up = if shared {
        first.chord.layer == 0
    } else {
        within.iter().any(|seen| !seen.laid.up)
    };
    let away = if up { -1.0 } else { 1.0 };
    let edge = |seen: &Seen<'_, '_>| {
        let (low, high) = seen.chord.reach().unwrap_or_default();
        let head = y_of(if up { high } else { low }) + away * CLEAR;
        let tip = tips
            .get(&seen.at)
            .filter(|_| seen.laid.up == up)
            .map(|tip| tip + away * 0.4 * SPACE);
        let outer = tip.unwrap_or(head);
        let sign = if articulated.contains(&seen.at) && seen.laid.up != up {
            SIGN
        } else {
            0.0
        };
        outer + away * sign
    };
    let left = (
        from.map_or_else(|| beginning(scene), Seen::middle),
        edge(first),
    );
    let right = (to.map_or(scene.line.right, Seen::middle), edge(last));
    // What lies between pushes the curve away.
    let across = (right.0 - left.0).max(1.0);
    let needed = within.iter().skip(1).rev().skip(1).map(|seen| {
        let share = ((seen.middle() - left.0) / across).clamp(0.08, 0.92);
        let straight = left.1 + (right.1 - left.1) * share;
        let over = (edge(seen) - straight) * away;
        // A cubic's height at a share of its way, its handles a rise above its ends.
        over / (3.0 * share * (1.0 - share))
    });
    let rise = needed.fold((across * 0.08).max(LEAST), f64::max).min(MOST);
    lens(
        ink,
        "slur",
        left,
        (right.0.max(left.0 + 4.0), right.1),
        away * rise,
    )
}

/// A curve, thick in its middle and thin at its ends; `rise` is how far its handles stand from the line between them.
fn lens(
    ink: &mut Ink<'_>,
    class: &str,
    from: (f64, f64),
    to: (f64, f64),
    rise: f64,
) -> io::Result<()> {
    let thick = if rise < 0.0 { -THICK } else { THICK };
    let point = |share: f64, rise: f64| {
        let (x, y) = (
            from.0 + (to.0 - from.0) * share,
            from.1 + (to.1 - from.1) * share,
        );
        format!("{} {}", short(x), short(y + rise))
    };
    let path = format!(
        "M{} {}C{} {} {} {}C{} {} {} {}Z",
        short(from.0),
        short(from.1),
        point(0.25, rise),
        point(0.75, rise),
        short(to.0),
        short(to.1),
        point(0.75, rise + thick),
        point(0.25, rise + thick),
        short(from.0),
        short(from.1),
    );
    ink.sheet()
        .empty(Tag::new("path").word("class", class).word("d", &path))?;
    // Sampled, since a curve's box holds much that it leaves free.
    for step in 0..8 {
        let at = |share: f64| {
            let height = 3.0 * share * (1.0 - share) * (rise + thick);
            (
                from.0 + (to.0 - from.0) * share,
                from.1 + (to.1 - from.1) * share + height,
            )
        };
        let ((left, one), (right, other)) =
            (at(f64::from(step) / 8.0), at(f64::from(step + 1) / 8.0));
        ink.touch(Area::new(left, right, one.min(other), one.max(other)));
    }
    Ok(())
}
