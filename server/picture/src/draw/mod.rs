//! Drawing one line of music: its staff, what stands on it, and what stands around it.

mod barlines;
mod beams;
mod changes;
mod chords;
mod cues;
mod curves;
mod dynamics;
mod fingering;
mod graces;
mod rests;
mod rips;
mod seconds;
mod signs;
mod tuplets;
mod words;

use std::collections::HashMap;
use std::io;

use theory::Seconds;

use crate::glyph::{SPACE, STEP};
use crate::ink::Ink;
use crate::layout::columns::{Laid, LaidChord};
use crate::layout::lines::{LaidMeasure, Line, Piece};
use crate::staff::slurs::{At, Curve};
use crate::staff::{Chord, Measure};
use crate::subject::{Options, Subject};

/// A part laid out, and the line of it that is drawn.
pub(crate) struct Scene<'a, 's> {
    pub(crate) subject: &'s Subject<'a>,
    pub(crate) options: &'s Options<'s>,
    pub(crate) measures: &'s [Measure<'a>],
    pub(crate) laid: &'s [LaidMeasure],
    pub(crate) curves: &'s [Curve],
    /// When each note of the part is played first, where that is asked for.
    pub(crate) times: &'s [Option<Seconds>],
    pub(crate) line: &'s Line,
    /// Where the staff begins.
    pub(crate) left: f64,
    pub(crate) first: bool,
    pub(crate) last: bool,
}

/// A chord on the line that is drawn.
#[derive(Clone, Copy)]
pub(crate) struct Seen<'a, 's> {
    pub(crate) at: At,
    pub(crate) chord: &'s Chord<'a>,
    pub(crate) laid: &'s LaidChord,
    /// The place of its column.
    pub(crate) x: f64,
}

impl Seen<'_, '_> {
    /// The left edge of its heads.
    pub(crate) fn heads(&self) -> f64 {
        self.x + self.laid.shift
    }

    /// Where its stem stands.
    pub(crate) fn stem(&self) -> f64 {
        let power = self.chord.value.map_or(0, |value| value.power);
        let head = crate::glyph::head(power);
        if self.laid.up {
            self.heads() + head.stem_up.0 * SPACE - beams::STEM / 2.0
        } else {
            self.heads() + head.stem_down.0 * SPACE + beams::STEM / 2.0
        }
    }

    /// The middle of its heads.
    pub(crate) fn middle(&self) -> f64 {
        self.heads() + crate::layout::columns::head_width(self.chord) / 2.0
    }
}

impl<'a, 's> Scene<'a, 's> {
    /// The pieces of the line, each with its measure.
    pub(crate) fn pieces(
        &self,
    ) -> impl Iterator<Item = (&'s Piece, &'s Measure<'a>, &'s LaidMeasure)> {
        let (measures, laid) = (self.measures, self.laid);
        self.line.pieces.iter().filter_map(move |piece| {
            Some((
                piece,
                measures.get(piece.measure)?,
                laid.get(piece.measure)?,
            ))
        })
    }

    /// Every column of the line: its place in the part, and where it stands.
    pub(crate) fn columns(&self) -> impl Iterator<Item = (usize, usize, f64, &'s Laid)> {
        self.pieces().flat_map(|(piece, _, laid)| {
            let places = piece.columns.clone().zip(&piece.places);
            places.filter_map(|(column, x)| {
                Some((piece.measure, column, *x, laid.columns.get(column)?))
            })
        })
    }

    /// Every chord of the line.
    pub(crate) fn chords(&self) -> impl Iterator<Item = Seen<'a, 's>> {
        let measures = self.measures;
        self.columns().flat_map(move |(measure, column, x, laid)| {
            let chords = measures.get(measure).and_then(|it| it.columns.get(column));
            let chords = chords.map(|column| &column.chords).into_iter().flatten();
            let both = chords.zip(&laid.chords).enumerate();
            both.map(move |(place, (chord, laid))| Seen {
                at: (measure, column, place),
                chord,
                laid,
                x,
            })
        })
    }

    /// What the column of a chord takes.
    pub(crate) fn column(&self, seen: &Seen<'_, '_>) -> Option<&'s Laid> {
        self.laid.get(seen.at.0)?.columns.get(seen.at.1)
    }

    /// Where the time of a measure stands, if it is on the line; times between columns lie between them.
    pub(crate) fn x_at(
        &self,
        piece: &Piece,
        measure: &Measure<'_>,
        offset: theory::Quarters,
    ) -> f64 {
        let offsets = piece
            .columns
            .clone()
            .filter_map(|column| measure.columns.get(column));
        let mut before = None;
        for (column, x) in offsets.zip(&piece.places) {
            if column.offset >= offset {
                return match before {
                    Some((from, left)) if column.offset > offset => {
                        between((from, left), (column.offset, *x), offset)
                    }
                    _ => *x,
                };
            }
            before = Some((column.offset, *x));
        }
        before.map_or(piece.left, |from| {
            between(from, (measure.length, piece.right), offset)
        })
    }
}

fn between(
    (from, left): (theory::Quarters, f64),
    (to, right): (theory::Quarters, f64),
    at: theory::Quarters,
) -> f64 {
    let whole = (to - from).to_f64();
    if whole <= 0.0 {
        return left;
    }
    left + (right - left) * ((at - from).to_f64() / whole).clamp(0.0, 1.0)
}

/// Where a line or space of the staff lies, in steps above the middle line.
pub(crate) fn y_of(line: i32) -> f64 {
    -f64::from(line) * STEP
}

/// Draws a line of music, from the staff outward.
pub(crate) fn draw(ink: &mut Ink<'_>, scene: &Scene<'_, '_>) -> io::Result<()> {
    for line in [-4, -2, 0, 2, 4] {
        ink.line(
            "line",
            (scene.left, y_of(line)),
            (scene.line.right, y_of(line)),
        )?;
    }
    changes::draw(ink, scene)?;
    barlines::draw(ink, scene)?;
    let mut tips = HashMap::new();
    beams::draw(ink, scene, &mut tips)?;
    chords::draw(ink, scene, &mut tips)?;
    graces::draw(ink, scene)?;
    cues::draw(ink, scene)?;
    rips::draw(ink, scene)?;
    tuplets::draw(ink, scene, &tips)?;
    let articulated = signs::near(ink, scene, &tips)?;
    curves::draw(ink, scene, &tips, &articulated)?;
    signs::above(ink, scene)?;
    fingering::draw(ink, scene)?;
    seconds::draw(ink, scene)?;
    dynamics::draw(ink, scene)?;
    barlines::endings(ink, scene)?;
    words::draw(ink, scene)
}
