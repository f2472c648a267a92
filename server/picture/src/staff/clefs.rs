//! The clef of every column, and the line of every head in it.

use score::{Clef, ClefKind};

use super::{Column, Measure};
use crate::subject::Pitched;

/// Diatonic steps above C0 of middle C.
const MIDDLE_C: i32 = 28;
/// What sounds stays in its clef so many steps beyond middle C, so that a tune around it does not change clefs.
const STAYS: i32 = 4;

/// Sets where clefs change and on which line each head stands; gives back the clef at the start, which is `usual` where
/// no note says.
pub(crate) fn set(measures: &mut [Measure<'_>], pitched: Pitched, usual: Clef) -> Clef {
    let mut start = None;
    let columns = measures.iter_mut().flat_map(|measure| &mut measure.columns);
    for column in columns {
        let before = start.map(|(_, now)| now);
        let wanted = match pitched {
            Pitched::Written => column.read_in.map(drawn),
            Pitched::Sounding => sounding(column, before),
        };
        if let Some(wanted) = wanted {
            let (first, _) = *start.get_or_insert((wanted, wanted));
            if before.is_some_and(|before| before != wanted) {
                column.change.clef = Some(wanted);
            }
            start = Some((first, wanted));
        }
        let middle = middle(wanted.or(before).unwrap_or(usual));
        for cue in &mut column.cues {
            cue.line = cue.steps.map_or(0, |steps| steps - middle);
        }
        for chord in &mut column.chords {
            for head in chord.graces.iter_mut().flatten().chain(&mut chord.heads) {
                head.line = head.pitch.0 - middle;
            }
        }
    }
    start.map_or(drawn(usual), |(first, _)| first)
}

/// A clef as it is drawn: the usual ones, without a small 8.
fn drawn(clef: Clef) -> Clef {
    match clef.middle_line() {
        Some(_) => Clef { octaves: 0, ..clef },
        None => Clef::TREBLE,
    }
}

/// What sounds is no page, so that one of the usual two clefs is taken for it.
fn sounding(column: &Column<'_>, before: Option<Clef>) -> Option<Clef> {
    const BASS: Clef = Clef {
        kind: ClefKind::Bass,
        octaves: 0,
    };
    let heads = column.chords.iter().flat_map(|chord| &chord.heads);
    let steps: Vec<i32> = heads.map(|head| head.pitch.0 - MIDDLE_C).collect();
    let count = i32::try_from(steps.len()).ok().filter(|count| *count > 0)?;
    let above = steps.iter().sum::<i32>() / count;
    let treble = match before.map(|clef| clef.kind) {
        Some(ClefKind::Treble) => above >= -STAYS,
        Some(_) => above > STAYS,
        None => above >= 0,
    };
    Some(if treble { Clef::TREBLE } else { BASS })
}

/// Diatonic steps above C0 of a clef's middle line.
pub(crate) fn middle(clef: Clef) -> i32 {
    const B4: i32 = 34;
    clef.middle_line().unwrap_or(B4)
}
