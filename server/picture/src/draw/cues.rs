//! Small notes of what another part plays, their stems up and their flags their own.

use std::io;

use super::chords::ledgers;
use super::{Scene, y_of};
use crate::glyph::{self, SPACE, STEP};
use crate::ink::Ink;
use crate::layout::columns::{SMALL, SMALL_DOT, small};
use crate::sheet::Tag;
use crate::staff::Small;

/// How long a stem is.
const LONG: f64 = 2.4 * SPACE;

pub(super) fn draw(ink: &mut Ink<'_>, scene: &Scene<'_, '_>) -> io::Result<()> {
    for (measure, column, x, _) in scene.columns() {
        let column = scene
            .measures
            .get(measure)
            .and_then(|it| it.columns.get(column));
        for cue in column.into_iter().flat_map(|column| &column.cues) {
            ink.sheet().open(Tag::new("g").word("class", "cue"))?;
            one(ink, cue, x)?;
            ink.sheet().close("g")?;
        }
    }
    Ok(())
}

fn one(ink: &mut Ink<'_>, cue: &Small, x: f64) -> io::Result<()> {
    let glyph = small(cue);
    let wide = glyph.right * SMALL * SPACE;
    let y = y_of(cue.line);
    if cue.steps.is_some() {
        ledgers(ink, (x, x + wide), (cue.line, cue.line))?;
        if let Some(sign) = cue.accidental {
            let sign = glyph::accidental(sign);
            let left = x - (sign.right * SMALL + 0.15) * SPACE;
            ink.glyph("", sign, (left, y), SMALL)?;
        }
        if let Some(value) = cue.value.filter(|value| value.has_stem()) {
            let (stem, tip) = (x + wide - 0.5, y - LONG);
            ink.line("stem", (stem, y - 1.0), (stem, tip))?;
            if let Some(flag) = glyph::flag(value.power, true) {
                ink.glyph("", flag, (stem - 0.4, tip), SMALL)?;
            }
        }
    }
    ink.glyph("", glyph, (x, y), SMALL)?;
    let space = if cue.line % 2 == 0 { y - STEP } else { y };
    for dot in 0..cue.value.map_or(0, |value| value.dots) {
        let right = x + wide + (f64::from(dot) + 0.6) * SMALL_DOT * SPACE;
        ink.glyph("", &glyph::AUGMENTATION_DOT, (right, space), SMALL)?;
    }
    Ok(())
}
