//! Barlines, repeats, endings and the numbers of bars.

use std::io;

use super::{Scene, y_of};
use crate::glyph::{self, SPACE};
use crate::ink::{Area, Ink, width_of};
use crate::staff::Close;

const THIN: f64 = 0.16 * SPACE;
const THICK: f64 = 0.5 * SPACE;
/// Between two lines of one barline.
const GAP: f64 = 0.4 * SPACE;
/// The size of bar numbers and of the figures of endings.
const NUMBER: f64 = 9.0;

pub(super) fn draw(ink: &mut Ink<'_>, scene: &Scene<'_, '_>) -> io::Result<()> {
    let pieces = scene.line.pieces.len();
    for (at, (piece, measure, laid)) in scene.pieces().enumerate() {
        if measure.repeat_start && piece.columns.start == 0 {
            let x = if at == 0 {
                piece.left
            } else {
                piece.left + THIN
            };
            begin(ink, x)?;
        }
        if piece.columns.end < laid.columns.len() {
            continue;
        }
        let close = match measure.close {
            Close::Double if scene.last && at + 1 == pieces => Close::Final,
            close => close,
        };
        end(ink, piece.right, close)?;
    }
    let Some((piece, measure, _)) = scene.pieces().next() else {
        return Ok(());
    };
    // A number at the start of each line but the first says where it is.
    if !scene.first && piece.columns.start == 0 {
        let number = measure.number.to_string();
        let y = ink.room_above(scene.left, scene.left + width_of(&number, NUMBER), NUMBER);
        ink.text("bar", (scene.left, y), &number)?;
    }
    Ok(())
}

fn upright(ink: &mut Ink<'_>, left: f64, wide: f64) -> io::Result<()> {
    ink.bar("barline", Area::new(left, left + wide, y_of(4), y_of(-4)))
}

fn dots(ink: &mut Ink<'_>, x: f64) -> io::Result<()> {
    ink.glyph("repeat", &glyph::AUGMENTATION_DOT, (x, y_of(1)), 1.0)?;
    ink.glyph("repeat", &glyph::AUGMENTATION_DOT, (x, y_of(-1)), 1.0)
}

/// The line that begins a repeat.
fn begin(ink: &mut Ink<'_>, x: f64) -> io::Result<()> {
    upright(ink, x, THICK)?;
    upright(ink, x + THICK + GAP, THIN)?;
    dots(ink, x + THICK + GAP + THIN + 0.25 * SPACE)
}

/// The line that ends a bar, its right edge at a place.
fn end(ink: &mut Ink<'_>, x: f64, close: Close) -> io::Result<()> {
    match close {
        Close::Single => upright(ink, x - THIN, THIN),
        Close::Double => {
            upright(ink, x - THIN, THIN)?;
            upright(ink, x - THIN - GAP - THIN, THIN)
        }
        Close::Final | Close::Repeat => {
            upright(ink, x - THICK, THICK)?;
            upright(ink, x - THICK - GAP - THIN, THIN)?;
            if close == Close::Repeat {
                dots(ink, x - THICK - GAP - THIN - 0.65 * SPACE)?;
            }
            Ok(())
        }
    }
}

/// Brackets over first and second endings.
pub(super) fn endings(ink: &mut Ink<'_>, scene: &Scene<'_, '_>) -> io::Result<()> {
    let running = scene
        .pieces()
        .next()
        .is_some_and(|(_, measure, _)| measure.in_ending);
    let mut open: Option<(f64, Option<&str>)> = running.then_some((scene.left + 4.0 * SPACE, None));
    for (piece, measure, _) in scene.pieces() {
        if measure.ending.is_some() {
            open = Some((piece.left + 0.3 * SPACE, measure.ending));
        }
        if measure.ending_ends
            && let Some((left, number)) = open.take()
        {
            bracket(ink, (left, piece.right - 0.3 * SPACE), number, true)?;
        }
    }
    match open {
        Some((left, number)) => bracket(ink, (left, scene.line.right), number, false),
        None => Ok(()),
    }
}

fn bracket(
    ink: &mut Ink<'_>,
    (left, right): (f64, f64),
    number: Option<&str>,
    closed: bool,
) -> io::Result<()> {
    let bottom = ink.room_above(left, right, NUMBER + 4.0);
    let top = bottom - NUMBER - 2.0;
    ink.line("ending", (left, top), (right, top))?;
    if let Some(number) = number {
        ink.line("ending", (left, top), (left, bottom))?;
        let dot = if number.ends_with('.') { "" } else { "." };
        ink.text("bar", (left + 3.0, bottom - 1.0), &format!("{number}{dot}"))?;
    }
    if closed {
        ink.line("ending", (right, top), (right, bottom))?;
    }
    Ok(())
}
