//! Which chords share a tuplet's number: those of one ratio, until together they fill a plain length.

use super::{Measure, Slot};
use theory::Quarters;

/// The groups of a measure, each with its number.
pub(crate) fn groups(measure: &Measure<'_>) -> Vec<(i64, Vec<Slot>)> {
    let mut groups: Vec<(i64, Vec<Slot>)> = Vec::new();
    let mut open: Option<(u8, i64, Quarters)> = None;
    for (slot, _, chord) in measure.by_layer() {
        let Some((number, _)) = chord.value.and_then(|value| value.tuplet) else {
            open = None;
            continue;
        };
        let before = open.filter(|(layer, many, _)| (*layer, *many) == (chord.layer, number));
        let filled = before.map_or(Quarters::ZERO, |(_, _, filled)| filled) + chord.length;
        match groups.last_mut().filter(|_| before.is_some()) {
            Some((_, group)) => group.push(slot),
            None => groups.push((number, vec![slot])),
        }
        let (_, under) = filled.parts();
        let full = under >> under.trailing_zeros() == 1;
        open = (!full).then_some((chord.layer, number, filled));
    }
    groups
}
