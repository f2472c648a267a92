//! Beams, and where the stems that share one end.

use std::collections::HashMap;
use std::io;

use super::{Scene, Seen, changes, y_of};
use crate::glyph::{self, SPACE};
use crate::ink::{AIR, Area, Ink};
use crate::sheet::{Tag, short};
use crate::staff::slurs::At;

/// How thick a stem is.
pub(super) const STEM: f64 = 0.12 * SPACE;
/// How thick a beam is, and from one to the next of the same stems.
const BEAM: f64 = 0.5 * SPACE;
const PITCH: f64 = 0.75 * SPACE;
/// A stem as long as it should be, and as short as it may be under a beam.
pub(super) const LONG: f64 = 3.5 * SPACE;
const SHORT: f64 = 2.6 * SPACE;
/// A beam rises no more.
const RISE: f64 = 1.0 * SPACE;
/// A beam of one stem alone.
const STUB: f64 = 1.1 * SPACE;

/// Where stems end, by chord.
pub(super) type Tips = HashMap<At, f64>;

/// Draws every beam, and sets where their stems end.
pub(super) fn draw(ink: &mut Ink<'_>, scene: &Scene<'_, '_>, tips: &mut Tips) -> io::Result<()> {
    let seen: HashMap<At, Seen<'_, '_>> = scene.chords().map(|seen| (seen.at, seen)).collect();
    for (piece, measure, _) in scene.pieces() {
        for group in &measure.beams {
            let chords: Vec<Seen<'_, '_>> = group
                .iter()
                .filter_map(|(column, chord)| seen.get(&(piece.measure, *column, *chord)).copied())
                .collect();
            // What a cut measure leaves alone on a line has flags.
            if chords.len() > 1 {
                one(ink, scene, &chords, tips)?;
            }
        }
    }
    Ok(())
}

/// The head from which a stem is measured, and how far it must reach beyond it.
fn least(seen: &Seen<'_, '_>) -> Option<f64> {
    let (low, high) = seen.chord.reach()?;
    let flags = seen.chord.value.map_or(1, crate::value::Value::flags);
    let more = PITCH * flags.saturating_sub(2) as f64;
    Some(if seen.laid.up {
        (y_of(high) - SHORT - more).min(0.0)
    } else {
        (y_of(low) + SHORT + more).max(0.0)
    })
}

/// What stands under or over a beam between its stems: from where to where, and how high and low it reaches.
fn between(scene: &Scene<'_, '_>, chords: &[Seen<'_, '_>]) -> Vec<Area> {
    let (Some(first), Some(last)) = (chords.first(), chords.last()) else {
        return Vec::new();
    };
    let columns = scene.columns().filter(|(measure, column, ..)| {
        *measure == first.at.0 && (first.at.1 + 1..=last.at.1).contains(column)
    });
    let mut found: Vec<Area> = columns
        .filter_map(|(measure, column, x, laid)| {
            let clef = scene
                .measures
                .get(measure)?
                .columns
                .get(column)?
                .change
                .clef?;
            Some(changes::small_clef(clef, x - laid.left))
        })
        .collect();
    for seen in chords.iter().skip(1) {
        let Some(laid) = scene.column(seen) else {
            continue;
        };
        for (_, head, before) in laid
            .accidentals
            .iter()
            .filter(|(chord, ..)| *chord == seen.at.2)
        {
            let head = seen.chord.heads.get(*head);
            let Some((line, sign)) = head.and_then(|head| Some((head.line, head.accidental?)))
            else {
                continue;
            };
            let (glyph, left, y) = (glyph::accidental(sign), seen.x - before, y_of(line));
            let reach = [glyph.top, glyph.bottom].map(|reach| y + reach * SPACE);
            found.push(Area::new(
                left,
                left + glyph.right * SPACE,
                reach[0],
                reach[1],
            ));
        }
    }
    found
}

fn one(
    ink: &mut Ink<'_>,
    scene: &Scene<'_, '_>,
    chords: &[Seen<'_, '_>],
    tips: &mut Tips,
) -> io::Result<()> {
    let (Some(first), Some(last)) = (chords.first(), chords.last()) else {
        return Ok(());
    };
    let up = first.laid.up;
    let away = if up { -1.0 } else { 1.0 };
    let natural = |seen: &Seen<'_, '_>| {
        let (low, high) = seen.chord.reach().unwrap_or_default();
        y_of(if up { high } else { low }) + away * LONG
    };
    let across = (last.stem() - first.stem()).max(1.0);
    let rise = (natural(last) - natural(first)).clamp(-RISE, RISE);
    let line = |x: f64| rise * (x - first.stem()) / across;
    // The beam keeps as far from every head as the nearest needs.
    let starts = chords.iter().filter_map(|seen| {
        let wanted = least(seen)? - line(seen.stem());
        Some(wanted * away)
    });
    let levels = chords.iter().map(flags).max().unwrap_or(0);
    let thick = PITCH * levels.saturating_sub(1) as f64 + BEAM + AIR;
    let between = between(scene, chords);
    let clear = between.iter().flat_map(|area| {
        let edge = if up { area.top } else { area.bottom };
        [area.left, area.right].map(|x| (edge + away * thick - line(x)) * away)
    });
    let start = starts.chain(clear).fold(natural(first) * away, f64::max) * away;
    for seen in chords {
        tips.insert(seen.at, start + line(seen.stem()));
    }
    for level in 0..levels {
        let deep = -away * PITCH * level as f64;
        for (from, to) in stretches(chords, level) {
            let (from, to) = (from - STEM / 2.0, to + STEM / 2.0);
            let at = |x: f64| start + line(x) + deep;
            beam(ink, (from, at(from)), (to, at(to)), -away * BEAM)?;
        }
    }
    Ok(())
}

fn flags(seen: &Seen<'_, '_>) -> usize {
    seen.chord.value.map_or(0, crate::value::Value::flags)
}

/// From where to where the beams of a level go; a stem alone has a stub toward its neighbour.
fn stretches(chords: &[Seen<'_, '_>], level: usize) -> Vec<(f64, f64)> {
    let mut found = Vec::new();
    let mut at = 0;
    while at < chords.len() {
        let run = chords
            .iter()
            .skip(at)
            .take_while(|seen| flags(seen) > level)
            .count();
        if let (Some(first), Some(last)) = (
            chords.get(at),
            (at + run).checked_sub(1).and_then(|end| chords.get(end)),
        ) {
            match run {
                0 => {}
                1 if at == 0 => found.push((first.stem(), first.stem() + STUB)),
                1 => found.push((first.stem() - STUB, first.stem())),
                _ => found.push((first.stem(), last.stem())),
            }
        }
        at += run.max(1);
    }
    found
}

/// One beam, from its outer edge inward.
fn beam(ink: &mut Ink<'_>, from: (f64, f64), to: (f64, f64), thick: f64) -> io::Result<()> {
    let corners = [from, to, (to.0, to.1 + thick), (from.0, from.1 + thick)];
    let points: Vec<String> = corners
        .iter()
        .map(|(x, y)| format!("{},{}", short(*x), short(*y)))
        .collect();
    ink.sheet().empty(
        Tag::new("polygon")
            .word("class", "beam")
            .word("points", &points.join(" ")),
    )?;
    let ys = corners.map(|(_, y)| y);
    ink.touch(Area::new(
        from.0,
        to.0,
        ys.iter().copied().fold(f64::MAX, f64::min),
        ys.iter().copied().fold(f64::MIN, f64::max),
    ));
    Ok(())
}
