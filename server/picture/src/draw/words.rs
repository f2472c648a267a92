//! Words above the staff: to the player, tempos, and the labels of sections.

use std::io;

use super::Scene;
use crate::glyph::SPACE;
use crate::ink::{Area, Ink, width_of};
use crate::sheet::Tag;
use crate::staff::Says;

/// The size of letters.
const WORDS: f64 = 12.0;
const TEMPO: f64 = 12.0;
const SECTION: f64 = 13.0;

pub(super) fn draw(ink: &mut Ink<'_>, scene: &Scene<'_, '_>) -> io::Result<()> {
    let turns: [fn(&Says<'_>) -> bool; 3] = [
        |says| matches!(says, Says::Words(_)),
        |says| matches!(says, Says::Tempo(_)),
        |says| matches!(says, Says::Section(_)),
    ];
    // What belongs to the note stands nearest to it.
    for turn in turns {
        for (piece, measure, laid) in scene.pieces() {
            let from = measure
                .columns
                .get(piece.columns.start)
                .map(|column| column.offset);
            let until = measure
                .columns
                .get(piece.columns.end)
                .map(|column| column.offset);
            for direction in measure
                .directions
                .iter()
                .filter(|direction| turn(&direction.says))
            {
                let after =
                    from.is_none_or(|from| direction.offset >= from) || piece.columns.start == 0;
                let before = until.is_none_or(|until| direction.offset < until)
                    || piece.columns.end >= laid.columns.len();
                if after && before {
                    let x = scene.x_at(piece, measure, direction.offset);
                    one(ink, scene, x, &direction.says)?;
                }
            }
        }
    }
    Ok(())
}

fn one(ink: &mut Ink<'_>, scene: &Scene<'_, '_>, x: f64, says: &Says<'_>) -> io::Result<()> {
    let (class, size, words) = match says {
        Says::Words(words) => ("words", WORDS, *words),
        Says::Tempo(words) => ("tempo", TEMPO, words.as_str()),
        Says::Section(words) => ("section", SECTION, *words),
        Says::Dynamic(_) | Says::Hairpin(_) | Says::HairpinEnd => return Ok(()),
    };
    let wide = width_of(words, size);
    // Words at the end of a line begin earlier, so that they end on the paper.
    let left = (x - 0.3 * SPACE).min(scene.line.right - wide).max(2.0);
    let boxed = matches!(says, Says::Section(_));
    let height = size + if boxed { 4.0 } else { 1.0 };
    let bottom = ink.room_above(left, left + wide, height);
    if boxed {
        let tag = Tag::new("rect").word("class", "box");
        let tag = tag.numbers([
            ("x", left - 2.0),
            ("y", bottom - height),
            ("width", wide + 4.0),
        ]);
        ink.sheet().empty(tag.number("height", height))?;
        ink.touch(Area::new(
            left - 2.0,
            left + wide + 2.0,
            bottom - height,
            bottom,
        ));
    }
    ink.text(class, (left, bottom - if boxed { 4.0 } else { 3.0 }), words)
}
