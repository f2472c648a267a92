//! Dynamics and hairpins below the staff, those of a line at one height.

use std::io;

use theory::Quarters;

use super::Scene;
use crate::glyph::{self, Glyph, SPACE};
use crate::ink::{Area, Ink, width_of};
use crate::staff::Says;

/// How high the letters stand above their line, and hang below it.
const ABOVE: f64 = 1.8 * SPACE;
const BELOW: f64 = 0.6 * SPACE;
/// Half the mouth of a hairpin.
const MOUTH: f64 = 0.65 * SPACE;
/// The size of letters that are none of dynamics.
const WORDS: f64 = 12.0;

/// One thing below the staff, from where to where.
enum Below {
    Letters(f64, Vec<&'static Glyph>),
    Words(f64, String),
    /// Whether it grows; whether it began on a line before, and goes on on the next.
    Hairpin {
        from: f64,
        to: f64,
        grows: bool,
        begun: bool,
        goes_on: bool,
    },
}

impl Below {
    fn reach(&self) -> (f64, f64) {
        match self {
            Self::Letters(x, letters) => (*x, x + width(letters)),
            Self::Words(x, words) => (*x, x + width_of(words, WORDS)),
            Self::Hairpin { from, to, .. } => (*from, *to),
        }
    }
}

fn width(letters: &[&Glyph]) -> f64 {
    letters.iter().map(|glyph| glyph.width).sum::<f64>() * SPACE
}

pub(super) fn draw(ink: &mut Ink<'_>, scene: &Scene<'_, '_>) -> io::Result<()> {
    let all = gather(scene);
    let low = all.iter().map(|below| {
        let (left, right) = below.reach();
        ink.bottom(left, right)
    });
    let base = low.fold(2.4 * SPACE, f64::max) + 0.4 * SPACE + ABOVE;
    let mut free = f64::MIN;
    for below in all {
        let (left, right) = below.reach();
        // What finds no room at the common height goes below it.
        let y = if left < free {
            ink.room_below(left, right, ABOVE + BELOW) + ABOVE
        } else {
            base
        };
        free = free.max(right);
        one(ink, &below, y)?;
    }
    Ok(())
}

fn one(ink: &mut Ink<'_>, below: &Below, y: f64) -> io::Result<()> {
    let (left, right) = below.reach();
    ink.touch(Area::new(left, right, y - ABOVE, y + BELOW));
    match below {
        Below::Letters(x, letters) => {
            let mut x = *x;
            for letter in letters {
                ink.glyph("dynamic", letter, (x, y), 1.0)?;
                x += letter.width * SPACE;
            }
            Ok(())
        }
        Below::Words(x, words) => ink.text("words", (*x, y), words),
        Below::Hairpin {
            from,
            to,
            grows,
            begun,
            goes_on,
        } => {
            let middle = y - 0.5 * SPACE;
            // A hairpin that goes on is not yet at its end, or no longer at its beginning.
            let open = |cut: bool| if cut { 0.55 } else { 1.0 };
            let closed = |cut: bool| if cut { 0.35 } else { 0.0 };
            let (first, last) = if *grows {
                (closed(*begun), open(*goes_on))
            } else {
                (open(*begun), closed(*goes_on))
            };
            for side in [-1.0, 1.0] {
                ink.line(
                    "hairpin",
                    (*from, middle + side * MOUTH * first),
                    (*to, middle + side * MOUTH * last),
                )?;
            }
            Ok(())
        }
    }
}

/// All that stands below a line, from left to right.
fn gather(scene: &Scene<'_, '_>) -> Vec<Below> {
    let mut found: Vec<Below> = Vec::new();
    let mut last: Option<(f64, &str)> = None;
    let mut open: Option<(f64, bool, bool)> = None;
    let first = scene.pieces().next();
    let edge = scene
        .line
        .pieces
        .first()
        .map_or(scene.left, |piece| piece.left);
    if let Some(grows) = first.and_then(|(_, measure, _)| measure.in_hairpin) {
        open = Some((edge, grows, true));
    }
    for (piece, measure, _) in scene.pieces() {
        let whole = piece.columns.start == 0;
        let mut directions: Vec<_> = measure.directions.iter().collect();
        directions.sort_by_key(|direction| direction.offset);
        for direction in directions {
            let Some(x) = seat(scene, piece, measure, direction.offset, whole) else {
                continue;
            };
            match &direction.says {
                Says::Dynamic(letters) => {
                    if last == Some((x, *letters)) {
                        continue;
                    }
                    last = Some((x, *letters));
                    if let Some((from, grows, begun)) = open.take() {
                        hairpin(&mut found, (from, x - 0.8 * SPACE), (grows, begun, false));
                    }
                    let x = x - 0.3 * SPACE;
                    found.push(glyph::dynamic(letters).map_or_else(
                        || Below::Words(x, (*letters).to_owned()),
                        |glyphs| Below::Letters(x, glyphs),
                    ));
                }
                Says::Hairpin(grows) => {
                    let after = last
                        .filter(|(at, _)| (*at - x).abs() < 1.0)
                        .and(found.last().map(|below| below.reach().1 + 3.0));
                    if let Some((from, grows, begun)) = open.take() {
                        hairpin(&mut found, (from, x - 0.5 * SPACE), (grows, begun, false));
                    }
                    open = Some((after.unwrap_or(x), *grows, false));
                }
                Says::HairpinEnd => {
                    if let Some((from, grows, begun)) = open.take() {
                        let end = ended(piece, measure, direction.offset).unwrap_or(piece.right)
                            - 0.5 * SPACE;
                        hairpin(&mut found, (from, end), (grows, begun, false));
                    }
                }
                Says::Words(_) | Says::Tempo(_) | Says::Section(_) => {}
            }
        }
    }
    if let Some((from, grows, begun)) = open {
        hairpin(
            &mut found,
            (from, scene.line.right),
            (grows, begun, !scene.last),
        );
    }
    found.sort_by(|one, other| one.reach().0.total_cmp(&other.reach().0));
    found
}

fn hairpin(
    found: &mut Vec<Below>,
    (from, to): (f64, f64),
    (grows, begun, goes_on): (bool, bool, bool),
) {
    if to > from + 4.0 {
        found.push(Below::Hairpin {
            from,
            to,
            grows,
            begun,
            goes_on,
        });
    }
}

/// Where a direction stands, if its place is on the line.
fn seat(
    scene: &Scene<'_, '_>,
    piece: &crate::layout::lines::Piece,
    measure: &crate::staff::Measure<'_>,
    offset: Quarters,
    whole: bool,
) -> Option<f64> {
    let columns = measure.columns.get(piece.columns.clone())?;
    let begins = columns.first()?.offset;
    let on = offset >= begins || whole;
    let after = measure
        .columns
        .get(piece.columns.end)
        .is_some_and(|next| offset >= next.offset);
    (on && !after).then(|| scene.x_at(piece, measure, offset))
}

/// Where the column after the one at a time stands.
fn ended(
    piece: &crate::layout::lines::Piece,
    measure: &crate::staff::Measure<'_>,
    offset: Quarters,
) -> Option<f64> {
    let columns = piece
        .columns
        .clone()
        .filter_map(|column| measure.columns.get(column));
    let mut after = columns
        .zip(&piece.places)
        .filter(|(column, _)| column.offset > offset);
    after.next().map(|(_, x)| *x)
}
