//! Slurs and ties: from which chord to which.

use super::Measure;

/// A chord by its measure, column and place in it.
pub(crate) type At = (usize, usize, usize);

/// A curve between two chords.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Curve {
    pub(crate) from: At,
    pub(crate) to: At,
    /// The line of the head a tie leaves; a slur has none.
    pub(crate) tie: Option<i32>,
}

/// Every slur and tie of a part, in the order of their beginnings within each layer.
pub(crate) fn curves(measures: &[Measure<'_>]) -> Vec<Curve> {
    let mut layers: std::collections::BTreeMap<u8, Vec<(At, &super::Chord<'_>)>> =
        std::collections::BTreeMap::new();
    for (measure, it) in measures.iter().enumerate() {
        for (column, chords) in it.columns.iter().enumerate() {
            for (place, chord) in chords.chords.iter().enumerate() {
                let line = layers.entry(chord.layer).or_default();
                line.push(((measure, column, place), chord));
            }
        }
    }
    let mut curves = Vec::new();
    for line in layers.values() {
        let mut begun = None;
        for pair in line.windows(2) {
            let &[(at, chord), (next, after)] = pair else {
                continue;
            };
            for head in chord.heads.iter().filter(|head| head.tied_to) {
                if after.heads.iter().any(|other| other.line == head.line) {
                    curves.push(Curve {
                        from: at,
                        to: next,
                        tie: Some(head.line),
                    });
                }
            }
            if chord.slurred && !after.is_rest() {
                begun = begun.or(Some(at));
            } else if let Some(from) = begun.take() {
                curves.push(Curve {
                    from,
                    to: at,
                    tie: None,
                });
            }
        }
        if let (Some(from), Some((at, _))) = (begun, line.last()) {
            curves.push(Curve {
                from,
                to: *at,
                tie: None,
            });
        }
    }
    curves
}
