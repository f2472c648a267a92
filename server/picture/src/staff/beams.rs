//! Which chords share a beam: those shorter than a quarter note within one beat.

use theory::{Meter, Quarters};

use super::{Measure, Slot, Sounding};

/// The groups of a measure's chords that share beams, each in order.
pub(crate) fn groups(measure: &Measure<'_>) -> Vec<Vec<Slot>> {
    let beats = Beats::of(measure);
    let mut groups: Vec<Vec<Slot>> = Vec::new();
    let mut open: Option<(u8, i64, Quarters)> = None;
    for (slot, offset, chord) in measure.by_layer() {
        let beamed =
            chord.sounding == Sounding::Notes && chord.value.is_some_and(|value| value.flags() > 0);
        if !beamed {
            open = None;
            continue;
        }
        let here = (chord.layer, beats.number(offset), offset);
        match groups.last_mut().filter(|_| open == Some(here)) {
            Some(group) => group.push(slot),
            None => groups.push(vec![slot]),
        }
        // The next chord joins where it follows at once in the same beat.
        open = Some((chord.layer, beats.number(offset), offset + chord.length));
    }
    groups.retain(|group| group.len() > 1);
    groups
}

/// The beats of a measure, as beams show them.
struct Beats {
    /// Quarter notes that are missing before an upbeat.
    missing: Quarters,
    length: Quarters,
    /// How many there are; what is left of an uneven metre belongs to the last.
    count: i64,
}

impl Beats {
    fn of(measure: &Measure<'_>) -> Self {
        let meter = measure.meter.unwrap_or(Meter { beats: 4, unit: 4 });
        let eighth = Quarters::new(1, 2);
        let length = match meter.unit {
            8.. if meter.is_compound() || meter.beats == 3 => {
                Quarters::new(12, i64::from(meter.unit))
            }
            8.. => eighth + eighth,
            unit => Quarters::new(4, i64::from(unit.clamp(2, 4))).min(Quarters::ONE),
        };
        let bar = meter.bar();
        let upbeat = measure.number == 0 && measure.length < bar;
        let (over, under) = bar.parts();
        let (each, of) = length.parts();
        Self {
            missing: if upbeat {
                bar - measure.length
            } else {
                Quarters::ZERO
            },
            length,
            count: (over.saturating_mul(of) / under.saturating_mul(each).max(1)).max(1),
        }
    }

    fn number(&self, offset: Quarters) -> i64 {
        let (over, under) = (offset + self.missing).parts();
        let (each, of) = self.length.parts();
        let beat = over.saturating_mul(of) / under.saturating_mul(each).max(1);
        // A metre that does not hold so many quarter notes is no bound of its own.
        if self.count > 1 && beat == self.count {
            beat - 1
        } else {
            beat
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::staff::{Chord, Column, Head};
    use crate::value::values;

    /// The sizes of the groups of a bar of these lengths, in eighths; negative ones are rests.
    fn sizes(meter: (u32, u32), number: u32, eighths: &[i64]) -> Vec<usize> {
        let mut offset = Quarters::ZERO;
        let mut columns = Vec::new();
        for eighth in eighths {
            let length = Quarters::new(eighth.abs(), 2);
            let head = Head {
                note: None,
                line: 0,
                pitch: (0, 0),
                marked: false,
                accidental: None,
                tied_from: false,
                tied_to: false,
                first: true,
            };
            let rest = *eighth < 0;
            columns.push(Column {
                offset,
                chords: vec![Chord {
                    layer: 0,
                    sounding: if rest {
                        Sounding::Rest { whole_bar: false }
                    } else {
                        Sounding::Notes
                    },
                    heads: if rest { Vec::new() } else { vec![head] },
                    value: values(length).and_then(|values| values.first().copied()),
                    length,
                    graces: Vec::new(),
                    signs: Vec::new(),
                    breath: false,
                    slurred: false,
                }],
                ..Column::default()
            });
            offset += length;
        }
        let measure = Measure {
            number,
            length: offset,
            meter: Some(Meter {
                beats: meter.0,
                unit: meter.1,
            }),
            columns,
            ..Measure::default()
        };
        groups(&measure).iter().map(Vec::len).collect()
    }

    #[test]
    fn beams_show_the_beats() {
        assert_eq!(sizes((4, 4), 1, &[1; 8]), [2, 2, 2, 2]);
        assert_eq!(sizes((6, 8), 1, &[1; 6]), [3, 3]);
        assert_eq!(sizes((3, 8), 1, &[1; 3]), [3]);
        assert_eq!(sizes((7, 8), 1, &[1; 7]), [2, 2, 3]);
        assert_eq!(sizes((2, 2), 1, &[1; 8]), [2, 2, 2, 2]);
        // A rest and a quarter note part them.
        assert_eq!(sizes((4, 4), 1, &[1, -1, 1, 1, 2, 1, 1]), [2, 2]);
        // An upbeat is the end of a bar.
        assert_eq!(sizes((6, 8), 0, &[1, 1, 1, 1]), [3]);
    }
}
