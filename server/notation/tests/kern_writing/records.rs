//! Transpositions, names and silencing comments.

use score::{Intent, PartRef};
use theory::{Interval, Transposition};

use crate::ear::*;
use crate::maker::ROUNDS;
use crate::silencing::silence;

#[test]
fn transpositions_and_names_are_recorded_for_one_part() {
    let mut count = 0;
    for (before, mut rng) in scores() {
        let parts = &before.score().pieces[0].piece.parts;
        let part = rng.usize(0..parts.len());
        let reference = PartRef { piece: 0, part };
        for semitones in [-7, -9] {
            let transposition = Transposition(Interval::from_semitones(semitones));
            let intent = Intent::SetTransposition {
                part: reference,
                transposition,
            };
            let (once, edits) = written(&before, &intent);
            assert!(edits.len() <= 1);
            assert!(once.write(&intent).unwrap().is_empty());
            let read = &once.score().pieces[0].piece.parts;
            assert_eq!(
                read[part].transposition.map(|(recorded, _)| recorded),
                Some(transposition),
                "{}",
                show(&before, &once)
            );
            let displaced = before.text().contains("*Tr");
            for (was, is) in heard(&before).iter().zip(heard(&once)) {
                if was.part != part {
                    assert_eq!(*was, is);
                } else if !displaced {
                    assert_eq!(was.sounding, is.sounding, "{}", show(&before, &once));
                }
            }
        }
        let name = "Horn in F, \"at the pier\"";
        let (after, _) = written(
            &before,
            &Intent::NamePart {
                part: reference,
                name: name.into(),
            },
        );
        let read = &after.score().pieces[0].piece.parts;
        assert_eq!(read[part].name.as_ref().unwrap().text, name);
        assert_eq!(read.len(), parts.len());
        count += 1;
    }
    println!("transpositions and names: {count} scores");
    assert_eq!(count, ROUNDS as usize);
}

#[test]
fn comments_that_silence_rules_change_no_music_and_merge() {
    let mut count = 0;
    for (before, mut rng) in scores() {
        let all = places(&before);
        if all.is_empty() {
            continue;
        }
        let at = all[rng.usize(0..all.len())].span;
        let silenced = silence(&before, at, written);
        for gone in &silenced.gone {
            assert_eq!(gone.text(), before.text());
        }
        for after in [&silenced.once, &silenced.twice, &silenced.file] {
            assert_eq!(heard(&before), heard(after), "{}", show(&before, after));
        }
        count += 1;
    }
    println!("silenced rules: {count} scores");
    assert_eq!(count, ROUNDS as usize);
}
