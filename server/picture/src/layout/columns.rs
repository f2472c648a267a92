//! What one column of the staff takes: its heads beside their stems, accidentals and small notes before them, dots behind.

use std::collections::HashMap;

use crate::glyph::{self, SPACE, STEP};
use crate::staff::{Change, Chord, Column, Head, Slot, Small};

/// The size of small notes.
pub(crate) const SMALL: f64 = 0.65;
/// The size of a clef that changes within the line.
pub(crate) const SMALL_CLEF: f64 = 0.8;
/// From one dot of a small note to the next, in spaces of the staff.
pub(crate) const SMALL_DOT: f64 = 0.45;
/// From one small note to the next.
pub(crate) const GRACE: f64 = 1.25 * SPACE;
/// Between accidentals and what follows them.
const BESIDE: f64 = 0.2 * SPACE;

/// A chord in its column.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct LaidChord {
    /// Whether its stem goes up.
    pub(crate) up: bool,
    /// How far it stands right of the column's place, for another line's heads.
    pub(crate) shift: f64,
    /// How far each head stands from the chord: a second is on the stem's other side.
    pub(crate) heads: Vec<f64>,
    /// Where the dots stand, from the column's place.
    pub(crate) dots: f64,
    /// The space in which each head's dots stand, in steps above the middle line.
    pub(crate) spaces: Vec<i32>,
}

/// A column with what its ink takes before and behind its place, the left edge of its heads.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Laid {
    pub(crate) chords: Vec<LaidChord>,
    /// Accidentals: chord, head, and how far before the column's place.
    pub(crate) accidentals: Vec<(usize, usize, f64)>,
    /// Where the first small note stands, before the column's place.
    pub(crate) graces: f64,
    pub(crate) left: f64,
    pub(crate) right: f64,
}

/// How wide a clef, signature and metre are together.
pub(crate) fn change_width(change: &Change, size: f64) -> f64 {
    let clef = change.clef.map_or(0.0, |_| (2.7 * size + 0.6) * SPACE);
    let key = change.key.as_ref().map_or(0.0, |(new, old)| {
        let signs = signature_signs(new, old);
        if signs == 0 {
            0.0
        } else {
            (signs as f64 * 1.05 + 0.5) * SPACE
        }
    });
    let meter = change.meter.map_or(0.0, |meter| {
        let figures = meter.beats.max(meter.unit).to_string().len();
        (1.8 * figures as f64 + 0.6) * SPACE
    });
    clef + key + meter
}

/// How many signs a signature shows; where it takes all away, as many naturals as there were.
pub(crate) fn signature_signs(new: &theory::Key, old: &theory::Key) -> usize {
    match new.altered_letters() {
        0 => old.altered_letters(),
        signs => signs,
    }
}

/// Lays a column; `up` tells which stems go up.
pub(crate) fn lay(place: usize, column: &Column<'_>, up: &HashMap<Slot, bool>) -> Laid {
    let mut laid = Laid::default();
    let mut before: Option<&Chord<'_>> = None;
    for (at, chord) in column.chords.iter().enumerate() {
        let up = up.get(&(place, at)).copied().unwrap_or(true);
        let shift = before
            .filter(|_| !chord.is_rest())
            .map_or(0.0, |other| shift(other, chord));
        let wide = head_width(chord);
        let heads = heads(chord, up, wide);
        let (least, most) = heads
            .iter()
            .fold((0.0, 0.0), |(least, most): (f64, f64), dx| {
                (least.min(*dx), most.max(*dx))
            });
        let mut right = shift + most + wide;
        let dots = right + 0.35 * SPACE;
        if let Some(value) = chord.value {
            if value.dots > 0 {
                right = dots + f64::from(value.dots) * 0.55 * SPACE;
            }
            if value.flags() > 0 && up && !chord.is_rest() {
                right = right.max(shift + wide + 1.0 * SPACE);
            }
        }
        laid.right = laid.right.max(right);
        laid.left = laid.left.max(-(least + shift));
        laid.chords.push(LaidChord {
            up,
            shift,
            heads,
            dots,
            spaces: Vec::new(),
        });
        if !chord.is_rest() {
            before = Some(chord);
        }
    }
    dots(column, &mut laid);
    spaces(column, &mut laid);
    accidentals(column, &mut laid);
    for cue in &column.cues {
        let glyph = small(cue);
        let flagged = cue.value.is_some_and(|value| value.flags() > 0);
        let behind = cue.value.map_or(0, |value| value.dots);
        let room = f64::from(behind) * SMALL_DOT + if flagged { 0.7 } else { 0.0 };
        laid.right = laid.right.max((glyph.right * SMALL + room) * SPACE);
        let sign = cue.accidental.map_or(0.0, |_| 0.8 * SPACE);
        laid.left = laid.left.max(sign);
    }
    let small = column
        .chords
        .iter()
        .map(|chord| grace_width(&chord.graces))
        .fold(0.0, f64::max);
    if small > 0.0 {
        laid.left += small;
        laid.graces = laid.left;
    }
    if place > 0 {
        laid.left += change_width(&column.change, SMALL_CLEF);
    }
    laid
}

/// The head of a small note, or its rest.
pub(crate) fn small(cue: &Small) -> &'static glyph::Glyph {
    let power = cue.value.map_or(2, |value| value.power);
    match cue.steps {
        Some(_) => glyph::head(power),
        None => glyph::rest(power),
    }
}

/// How wide the widest head of a chord, or its rest, is.
pub(crate) fn head_width(chord: &Chord<'_>) -> f64 {
    let power = chord.value.map_or(2, |value| value.power);
    let glyph = if chord.is_rest() {
        glyph::rest(power)
    } else {
        glyph::head(power)
    };
    glyph.right * SPACE
}

/// Heads a second apart stand on both sides of the stem.
fn heads(chord: &Chord<'_>, up: bool, wide: f64) -> Vec<f64> {
    let mut places = vec![0.0; chord.heads.len()];
    let mut last: Option<(i32, bool)> = None;
    let order: Vec<usize> = if up {
        (0..places.len()).collect()
    } else {
        (0..places.len()).rev().collect()
    };
    for at in order {
        let Some(head) = chord.heads.get(at) else {
            continue;
        };
        let close = last.is_some_and(|(line, aside)| (line - head.line).abs() <= 1 && !aside);
        if close && let Some(place) = places.get_mut(at) {
            *place = if up { wide - 1.0 } else { 1.0 - wide };
        }
        last = Some((head.line, close));
    }
    places
}

/// How far a lower line's chord gives way to an upper one's at the same moment.
fn shift(upper: &Chord<'_>, lower: &Chord<'_>) -> f64 {
    let (Some((upper_low, _)), Some((_, lower_high))) = (upper.reach(), lower.reach()) else {
        return 0.0;
    };
    let same = upper_low == lower_high
        && head_width(upper) == head_width(lower)
        && upper.value.map(|it| (it.power.min(0), it.dots))
            == lower.value.map(|it| (it.power.min(0), it.dots));
    if upper_low > lower_high + 1 || same {
        return 0.0;
    }
    // Stems that cross stand apart by more than heads that touch.
    head_width(upper) + 0.15 * SPACE
}

/// Moves dots behind the heads of another line that would stand on them.
fn dots(column: &Column<'_>, laid: &mut Laid) {
    let heads = column.chords.iter().zip(&laid.chords);
    let aside = heads.filter(|(_, laid)| laid.shift > 0.0);
    let behind = aside.map(|(chord, laid)| laid.shift + head_width(chord) + 0.35 * SPACE);
    let behind = behind.fold(0.0, f64::max);
    for (chord, it) in column.chords.iter().zip(&mut laid.chords) {
        let dots = chord.value.map_or(0, |value| value.dots);
        if dots > 0 && !chord.is_rest() {
            it.dots = it.dots.max(behind);
            laid.right = laid.right.max(it.dots + f64::from(dots) * 0.55 * SPACE);
        }
    }
}

/// Dots stand in a space: a head on a line has its own in the one above, or below where another head's stand there (common
/// practice). Lines of the staff that share a head share its dots.
fn spaces(column: &Column<'_>, laid: &mut Laid) {
    let mut dotted = Vec::new();
    for (at, (chord, it)) in column.chords.iter().zip(&mut laid.chords).enumerate() {
        it.spaces = chord.heads.iter().map(|head| head.line).collect();
        if chord.value.is_some_and(|value| value.dots > 0) {
            let heads = chord.heads.iter().zip(&it.heads).enumerate();
            dotted.extend(heads.map(|(place, (head, dx))| (at, place, head.line, it.shift + dx)));
        }
    }
    // What stands in a space has no choice.
    dotted.sort_by_key(|(_, _, line, _)| line % 2 == 0);
    let mut taken: Vec<(i32, i32, f64)> = Vec::new();
    for (chord, place, line, x) in dotted {
        let above = line + i32::from(line % 2 == 0);
        let mut others = taken.iter().filter(|(space, ..)| *space == above);
        let held = others.any(|(_, other, at)| *other != line || (at - x).abs() > 0.1);
        let space = if held && line % 2 == 0 {
            line - 1
        } else {
            above
        };
        taken.push((space, line, x));
        let it = laid.chords.get_mut(chord);
        if let Some(put) = it.and_then(|it| it.spaces.get_mut(place)) {
            *put = space;
        }
    }
}

/// Puts each accidental as near as those already put leave room, from the top down.
fn accidentals(column: &Column<'_>, laid: &mut Laid) {
    let mut wanted: Vec<(usize, usize, &Head, i8)> = Vec::new();
    for (chord, it) in column.chords.iter().enumerate() {
        for (place, head) in it.heads.iter().enumerate() {
            wanted.extend(head.accidental.map(|sign| (chord, place, head, sign)));
        }
    }
    wanted.sort_by_key(|(.., head, _)| -head.line);
    let clear = laid.left;
    let mut put: Vec<(f64, f64, f64, f64)> = Vec::new();
    for (chord, place, head, sign) in wanted {
        let glyph = glyph::accidental(sign);
        let y = -f64::from(head.line) * STEP;
        let (top, bottom) = (y + glyph.top * SPACE, y + glyph.bottom * SPACE);
        let wide = glyph.right * SPACE;
        let mut right = clear + BESIDE;
        // Each step goes beyond one that stands in the way, so that it ends.
        while let Some((.., end)) = put.iter().find(|(other_top, other_bottom, from, to)| {
            top < *other_bottom && bottom > *other_top && right < *to && right + wide > *from
        }) {
            right = end + 1.0;
        }
        put.push((top, bottom, right, right + wide));
        laid.left = laid.left.max(right + wide);
        laid.accidentals.push((chord, place, right + wide));
    }
}

/// How wide small notes are, with their accidentals.
fn grace_width(graces: &[Vec<Head>]) -> f64 {
    let signs = graces
        .iter()
        .filter(|heads| heads.iter().any(|head| head.accidental.is_some()));
    let signs = signs.count() as f64;
    if graces.is_empty() {
        0.0
    } else {
        graces.len() as f64 * GRACE + signs * 0.8 * SPACE + 0.5 * SPACE
    }
}
