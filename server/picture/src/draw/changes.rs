//! Clefs, signatures and metres: at the head of a line, and small where they change within it.

use std::io;

use score::{Clef, ClefKind};
use theory::{Key, Letter, Meter};

use super::{Scene, y_of};
use crate::glyph::{self, Glyph, SPACE};
use crate::ink::{Area, Ink};
use crate::layout::columns::{SMALL_CLEF, change_width, signature_signs};
use crate::staff::Change;

const SHARPS: [Letter; 7] = [
    Letter::F,
    Letter::C,
    Letter::G,
    Letter::D,
    Letter::A,
    Letter::E,
    Letter::B,
];

pub(super) fn draw(ink: &mut Ink<'_>, scene: &Scene<'_, '_>) -> io::Result<()> {
    let begins = &scene.line.begins;
    let clef = begins.clef.unwrap_or(Clef::TREBLE);
    change(ink, scene.left + 0.4 * SPACE, begins, clef, 1.0)?;
    for (piece, measure, laid) in scene.pieces() {
        let mut clef = laid.clef;
        for (column, x) in piece.columns.clone().zip(&piece.places) {
            let Some(here) = measure.columns.get(column) else {
                continue;
            };
            clef = here.change.clef.filter(|_| column > 0).unwrap_or(clef);
            if here.change.is_none() || column == 0 && !piece.shows_change {
                continue;
            }
            let left = laid.columns.get(column).map_or(0.0, |laid| laid.left);
            let from = if column == 0 {
                x - left - change_width(&here.change, SMALL_CLEF)
            } else {
                x - left
            };
            change(ink, from, &here.change, clef, SMALL_CLEF)?;
        }
    }
    Ok(())
}

/// Draws a change from a place on; its clef at a share of its size.
fn change(
    ink: &mut Ink<'_>,
    mut x: f64,
    change: &Change,
    in_force: Clef,
    size: f64,
) -> io::Result<()> {
    if let Some(clef) = change.clef {
        let (glyph, line) = sign(clef);
        ink.glyph("clef", glyph, (x, y_of(line)), size)?;
        x += (2.7 * size + 0.6) * SPACE;
    }
    if let Some((new, old)) = &change.key {
        x = signature(ink, x, new, old, change.clef.unwrap_or(in_force))?;
    }
    if let Some(meter) = change.meter {
        metre(ink, x, meter)?;
    }
    Ok(())
}

/// What a clef takes that changes within a line.
pub(super) fn small_clef(clef: Clef, x: f64) -> Area {
    let (glyph, line) = sign(clef);
    let [left, right, top, bottom] =
        [glyph.left, glyph.right, glyph.top, glyph.bottom].map(|reach| reach * SMALL_CLEF * SPACE);
    let y = y_of(line);
    Area::new(x + left, x + right, y + top, y + bottom)
}

/// A clef and the line it stands on.
const fn sign(clef: Clef) -> (&'static Glyph, i32) {
    match clef.kind {
        ClefKind::Bass => (&glyph::F_CLEF, 2),
        ClefKind::Alto => (&glyph::C_CLEF, 0),
        ClefKind::Tenor => (&glyph::C_CLEF, 2),
        ClefKind::Treble | ClefKind::Other => (&glyph::G_CLEF, -2),
    }
}

/// The signs of a signature, or as many naturals as it takes away; gives back where it ends.
fn signature(ink: &mut Ink<'_>, mut x: f64, new: &Key, old: &Key, clef: Clef) -> io::Result<f64> {
    if signature_signs(new, old) == 0 {
        return Ok(x);
    }
    let taken_away = new.altered_letters() == 0;
    let shown = if taken_away { old } else { new };
    let flats = SHARPS.iter().rev();
    let sharps = SHARPS
        .iter()
        .filter(|letter| shown.alteration(**letter).0 > 0)
        .map(|letter| (letter, true));
    let flats = flats
        .filter(|letter| shown.alteration(**letter).0 < 0)
        .map(|letter| (letter, false));
    for (letter, sharp) in sharps.chain(flats) {
        let alteration = if taken_away {
            0
        } else {
            shown.alteration(*letter).0
        };
        let sign = glyph::accidental(alteration);
        ink.glyph("key", sign, (x, y_of(line(*letter, sharp, clef))), 1.0)?;
        x += 1.05 * SPACE;
    }
    Ok(x + 0.5 * SPACE)
}

/// Where a sign of a signature stands, in steps above the middle line (common practice).
const fn line(letter: Letter, sharp: bool, clef: Clef) -> i32 {
    let treble = match (letter, sharp) {
        (Letter::F, true) => 4,
        (Letter::C, _) => 1,
        (Letter::G, true) => 5,
        (Letter::D, _) => 2,
        (Letter::A, _) => -1,
        (Letter::E, _) => 3,
        (Letter::B, _) => 0,
        (Letter::G, false) => -2,
        (Letter::F, false) => -3,
    };
    match clef.kind {
        ClefKind::Bass => treble - 2,
        ClefKind::Alto => treble - 1,
        // In the tenor clef the highest sharps stand an octave lower.
        ClefKind::Tenor if treble > 3 && sharp => treble - 6,
        ClefKind::Tenor => treble + 1,
        ClefKind::Treble | ClefKind::Other => treble,
    }
}

/// A metre in figures, one above the other.
fn metre(ink: &mut Ink<'_>, x: f64, meter: Meter) -> io::Result<()> {
    let rows = [(meter.beats, 2), (meter.unit, -2)];
    let widest = rows
        .iter()
        .map(|(number, _)| number.to_string().len())
        .max()
        .unwrap_or(1);
    for (number, line) in rows {
        let figures = number.to_string();
        let mut at = x + (widest - figures.len()) as f64 * 0.9 * SPACE;
        for figure in figures.chars() {
            ink.glyph("meter", glyph::meter_figure(figure), (at, y_of(line)), 1.0)?;
            at += 1.8 * SPACE;
        }
    }
    Ok(())
}
