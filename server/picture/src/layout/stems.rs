//! Which way stems go: away from the middle of the staff, or apart where several lines share it.

use std::collections::HashMap;

use crate::staff::{Chord, Measure, Slot};

/// Which stems of a measure go up; chords without heads are not in it.
pub(crate) fn directions(measure: &Measure<'_>) -> HashMap<Slot, bool> {
    let shared = measure.is_shared();
    let mut up: HashMap<Slot, bool> = HashMap::new();
    for (slot, _, chord) in measure.by_layer() {
        if let Some(reach) = chord.reach() {
            up.insert(slot, by_reach(chord, reach, shared));
        }
    }
    for group in &measure.beams {
        let chords = || group.iter().filter_map(|slot| measure.chord(*slot));
        let low = chords().filter_map(Chord::reach).map(|(low, _)| low).min();
        let high = chords()
            .filter_map(Chord::reach)
            .map(|(_, high)| high)
            .max();
        if let (Some(first), Some(low), Some(high)) = (chords().next(), low, high) {
            let together = by_reach(first, (low, high), shared);
            up.extend(group.iter().map(|slot| (*slot, together)));
        }
    }
    up
}

/// The farthest head from the middle decides; where both are as far, the stem goes down (common practice).
fn by_reach(chord: &Chord<'_>, (low, high): (i32, i32), shared: bool) -> bool {
    if shared {
        chord.layer == 0
    } else {
        low + high < 0
    }
}
