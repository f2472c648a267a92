//! The numbers of tuplets, with a bracket where no beam holds them together.

use std::io;

use super::beams::Tips;
use super::{Scene, Seen, y_of};
use crate::glyph::{self, SPACE};
use crate::ink::Ink;

/// How high the figures are.
const FIGURE: f64 = 1.5 * SPACE;

pub(super) fn draw(ink: &mut Ink<'_>, scene: &Scene<'_, '_>, tips: &Tips) -> io::Result<()> {
    let seen: std::collections::HashMap<_, Seen<'_, '_>> =
        scene.chords().map(|seen| (seen.at, seen)).collect();
    for (piece, measure, _) in scene.pieces() {
        for (number, group) in &measure.tuplets {
            let chords: Vec<&Seen<'_, '_>> = group
                .iter()
                .filter_map(|(column, chord)| seen.get(&(piece.measure, *column, *chord)))
                .collect();
            let beamed = measure.beams.iter().any(|beam| beam == group);
            one(ink, &chords, *number, beamed, tips)?;
        }
    }
    Ok(())
}

fn one(
    ink: &mut Ink<'_>,
    chords: &[&Seen<'_, '_>],
    number: i64,
    beamed: bool,
    tips: &Tips,
) -> io::Result<()> {
    let (Some(first), Some(last)) = (chords.first(), chords.last()) else {
        return Ok(());
    };
    // The number stands on the side of the stems.
    let stems = chords.iter().filter(|seen| !seen.chord.is_rest());
    let up = stems.clone().filter(|seen| seen.laid.up).count() * 2 >= stems.count();
    let (left, right) = (first.heads(), last.heads() + 1.2 * SPACE);
    let figures = number.to_string();
    let wide = figures
        .chars()
        .map(|figure| glyph::tuplet_figure(figure).width)
        .sum::<f64>()
        * SPACE;
    let middle = f64::midpoint(left, right);
    let tip = chords.iter().filter_map(|seen| tips.get(&seen.at).copied());
    let (inner, y) = if up {
        let edge = ink.top(left, right).min(tip.fold(y_of(4), f64::min));
        (edge - 0.4 * SPACE, edge - 0.5 * SPACE)
    } else {
        let edge = ink.bottom(left, right).max(tip.fold(y_of(-4), f64::max));
        (edge + 0.4 * SPACE, edge + 0.5 * SPACE + FIGURE)
    };
    let mut x = middle - wide / 2.0;
    for figure in figures.chars() {
        let glyph = glyph::tuplet_figure(figure);
        ink.glyph("tuplet", glyph, (x, y), 1.0)?;
        x += glyph.width * SPACE;
    }
    if beamed {
        return Ok(());
    }
    let line = y - FIGURE / 2.0;
    let hook = if up { inner + 0.3 * SPACE } else { inner };
    let gap = wide / 2.0 + 0.4 * SPACE;
    for (outer, near) in [(left, middle - gap), (right, middle + gap)] {
        if (outer - middle).abs() > gap {
            ink.line("ending", (outer, line), (near, line))?;
        }
        ink.line("ending", (outer, line), (outer, hook))?;
    }
    Ok(())
}
