//! Beams, and where the stems that share one end.

use std::collections::HashMap;
use std::io;

use super::{Scene, Seen, y_of};
use crate::glyph::SPACE;
use crate::ink::{Area, Ink};
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
                one(ink, &chords, tips)?;
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

fn one(ink: &mut Ink<'_>, chords: &[Seen<'_, '_>], tips: &mut Tips) -> io::Result<()> {
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
    let start = starts.fold(natural(first) * away, f64::max) * away;
    for seen in chords {
        tips.insert(seen.at, start + line(seen.stem()));
    }
    let levels = chords.iter().map(|seen| flags(seen)).max().unwrap_or(0);
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
