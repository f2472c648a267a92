//! Which heads need an accidental: an alteration that neither the signature nor the bar so far says, and what the score marks.

use std::collections::HashMap;

use theory::{Alteration, Key, Letter};

use super::{Head, Measure};

/// Sets the accidentals of every head; `key` is the signature at the start. An accidental holds for its line until the
/// barline, and not for a note that is held on beyond it (common practice).
pub(crate) fn set(measures: &mut [Measure<'_>], mut key: Key) {
    for measure in measures {
        let mut said: HashMap<i32, i8> = HashMap::new();
        for column in &mut measure.columns {
            if let Some((new, _)) = column.change.key {
                key = new;
                said.clear();
            }
            for chord in &mut column.chords {
                let graces = chord.graces.iter_mut().flatten();
                for head in graces.chain(&mut chord.heads) {
                    one(head, &key, &mut said);
                }
            }
        }
    }
}

fn one(head: &mut Head, key: &Key, said: &mut HashMap<i32, i8>) {
    let (step, alteration) = head.pitch;
    if head.tied_from {
        return;
    }
    let Alteration(signed) = key.alteration(Letter::from_steps(step.rem_euclid(7)));
    let in_force = said.get(&step).copied().unwrap_or(signed);
    if head.marked || in_force != alteration {
        head.accidental = Some(alteration);
        said.insert(step, alteration);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::staff::{Chord, Column, Sounding};
    use theory::{Pitch, Quarters};

    fn drawn(bars: &[&str], key: Key) -> Vec<Vec<Option<i8>>> {
        let head = |name: &str| {
            let pitch: Pitch = name.trim_start_matches(['!', '~']).parse().unwrap();
            Head {
                note: None,
                line: 0,
                pitch: (pitch.staff_steps(), pitch.alteration.0),
                marked: name.starts_with('!'),
                accidental: None,
                tied_from: name.starts_with('~'),
                tied_to: false,
                first: true,
            }
        };
        let chord = |name| Chord {
            layer: 0,
            sounding: Sounding::Notes,
            heads: vec![head(name)],
            value: None,
            length: Quarters::ONE,
            graces: Vec::new(),
            signs: Vec::new(),
            breath: false,
            slurred: false,
        };
        let mut measures: Vec<Measure<'_>> = bars
            .iter()
            .map(|bar| Measure {
                columns: bar
                    .split(' ')
                    .map(|name| Column {
                        chords: vec![chord(name)],
                        ..Column::default()
                    })
                    .collect(),
                ..Measure::default()
            })
            .collect();
        set(&mut measures, key);
        let bars = measures.iter().map(|measure| {
            let columns = measure.columns.iter();
            columns.map(|column| column.chords[0].heads[0].accidental)
        });
        bars.map(Iterator::collect).collect()
    }

    #[test]
    fn what_the_bar_and_the_signature_say_is_not_said_again() {
        let plain = drawn(&["F#4 F#4 F#5 F4 F4", "F#4 F4", "!F4 ~Bb4 B4"], Key::NONE);
        assert_eq!(
            plain,
            [
                vec![Some(1), None, Some(1), Some(0), None],
                vec![Some(1), Some(0)],
                vec![Some(0), None, None],
            ]
        );
        let in_d = drawn(&["F#4 F4 F#4", "F#4 C#5 Bb4"], Key::from_fifths(2));
        assert_eq!(
            in_d,
            [vec![None, Some(0), Some(1)], vec![None, None, Some(-1)],]
        );
    }
}
