//! Rests: of a value, of a whole bar, and of many bars drawn together.

use std::io;

use super::{Scene, Seen, y_of};
use crate::glyph::{self, SPACE};
use crate::ink::{Area, Ink};
use crate::layout::lines::barline;
use crate::staff::{Chord, Column, Sounding};

pub(super) fn draw(
    ink: &mut Ink<'_>,
    scene: &Scene<'_, '_>,
    seen: &Seen<'_, '_>,
) -> io::Result<()> {
    let Some(measure) = scene.measures.get(seen.at.0) else {
        return Ok(());
    };
    let Some(column) = measure.columns.get(seen.at.1) else {
        return Ok(());
    };
    let whole = seen.chord.sounding == Sounding::Rest { whole_bar: true };
    let earlier = column.chords.iter().take(seen.at.2);
    // Lines that rest together share one rest.
    let mut same = earlier.filter(|other| other.is_rest() && other.sounding == seen.chord.sounding);
    if same.any(|other| other.value == seen.chord.value) && all_rest(column) {
        return Ok(());
    }
    let piece = scene
        .line
        .pieces
        .iter()
        .find(|piece| piece.measure == seen.at.0);
    // The rest of a bar gives way to all that the bar holds.
    let beside = match whole {
        true => measure.columns.as_slice(),
        false => std::slice::from_ref(column),
    };
    let y = match measure.lowest_cue() {
        // Beneath the small notes, whose stems go up.
        Some(low) => f64::from((3 - low / 2).max(2)) * SPACE,
        None => lift(beside, seen.chord, measure.is_shared()),
    };
    if whole && let Some(piece) = piece {
        let right = piece.right - barline(measure.close);
        let middle = f64::midpoint(seen.x, right - 0.7 * SPACE);
        if measure.bars > 1 {
            // Behind a signature that changes here.
            let left = piece.left.max(seen.x - 1.1 * SPACE);
            return together(ink, (left, right), measure.bars);
        }
        let rest = glyph::rest(2);
        return ink.glyph(
            "rest",
            rest,
            (middle - rest.right * SPACE / 2.0, y + y_of(2)),
            1.0,
        );
    }
    let power = seen.chord.value.map_or(2, |value| value.power);
    // A whole rest hangs from the fourth line.
    let line = if power == 2 { y_of(2) } else { 0.0 };
    ink.glyph("rest", glyph::rest(power), (seen.x, y + line), 1.0)?;
    for dot in 0..seen.chord.value.map_or(0, |value| value.dots) {
        let x = seen.x + seen.laid.dots + f64::from(dot) * 0.55 * SPACE;
        ink.glyph("dot", &glyph::AUGMENTATION_DOT, (x, y + y_of(1)), 1.0)?;
    }
    Ok(())
}

fn all_rest(column: &Column<'_>) -> bool {
    column.chords.iter().all(Chord::is_rest)
}

/// How far a rest gives way to the other lines of its staff in some columns.
fn lift(beside: &[Column<'_>], chord: &Chord<'_>, shared: bool) -> f64 {
    let chords = || beside.iter().flat_map(|column| &column.chords);
    if !shared || beside.iter().all(all_rest) && chords().count() > 1 {
        return 0.0;
    }
    let others = chords().filter(|other| other.layer != chord.layer);
    let reach = others.filter_map(Chord::reach);
    // A whole number of spaces, so that rests stand on the lines they belong to.
    let spaces = if chord.layer == 0 {
        -reach.map(|(_, high)| high / 2 + 3).fold(2, i32::max)
    } else {
        -reach.map(|(low, _)| low / 2 - 3).fold(-2, i32::min)
    };
    f64::from(spaces) * SPACE
}

/// Bars of rest in one: a bar over the middle line, and how many.
fn together(ink: &mut Ink<'_>, (left, right): (f64, f64), bars: u32) -> io::Result<()> {
    let (left, right) = (left + 1.6 * SPACE, right - 1.4 * SPACE);
    ink.bar("rest", Area::new(left, right, -0.45 * SPACE, 0.45 * SPACE))?;
    for x in [left, right] {
        ink.line("stem", (x, -SPACE), (x, SPACE))?;
    }
    let figures = bars.to_string();
    let wide = 1.8 * SPACE * figures.len() as f64;
    let mut x = f64::midpoint(left, right) - wide / 2.0;
    let y = -3.4 * SPACE;
    for figure in figures.chars() {
        ink.glyph("bars", glyph::meter_figure(figure), (x, y), 1.0)?;
        x += 1.8 * SPACE;
    }
    Ok(())
}
