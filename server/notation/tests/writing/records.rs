//! Transpositions, names and silencing comments.

use notation::Document;
use score::{Intent, PartRef};
use theory::{Interval, Transposition};

use crate::ear::*;
use crate::maker::ROUNDS;
use crate::silencing::silence;

#[test]
fn transpositions_and_names_are_recorded_for_one_part() {
    let mut count = 0;
    for (before, mut rng) in tunes() {
        let parts = before.score().pieces[0].piece.parts.len();
        let part = rng.usize(0..parts);
        let reference = PartRef { piece: 0, part };
        for semitones in [-7, -9] {
            let transposition = Transposition(Interval::from_semitones(semitones));
            let intent = Intent::SetTransposition {
                part: reference,
                transposition,
            };
            let (once, _) = written(&before, &intent);
            let (after, _) = written(&once, &intent);
            assert_eq!(once.text(), after.text());
            assert_eq!(heard(&before), heard(&after));
            for (index, read) in after.score().pieces[0].piece.parts.iter().enumerate() {
                let stated = read
                    .transposition
                    .map_or(0, |(stated, _)| stated.0.semitones);
                let wanted = if index == part { semitones } else { 0 };
                assert_eq!(stated, wanted, "{}", show(&before, &after));
            }
        }
        let name = "Horn in F \"at the pier\"";
        let (after, _) = written(
            &before,
            &Intent::NamePart {
                part: reference,
                name: name.into(),
            },
        );
        let read = &after.score().pieces[0].piece.parts[part];
        assert_eq!(
            read.name.as_ref().unwrap().text,
            name,
            "{}",
            show(&before, &after)
        );
        let midi = |doc: &Document| -> Vec<i32> { heard(doc).iter().map(|h| h.midi).collect() };
        assert_eq!(midi(&before), midi(&after), "{}", show(&before, &after));
        assert_eq!(after.score().pieces[0].piece.parts.len(), parts);
        count += 1;
    }
    println!("transpositions and names: {count} tunes");
    assert_eq!(count, ROUNDS as usize);
}

// Silence -----------------------------------------------------------------------------------------------------------

#[test]
fn comments_that_silence_rules_change_no_music_and_merge() {
    let mut count = 0;
    for (before, mut rng) in tunes() {
        let all = places(&before);
        let at = all[rng.usize(0..all.len())].span;
        let silenced = silence(&before, at, written);
        for gone in &silenced.gone {
            assert_eq!(gone.text(), before.text());
        }
        for after in [&silenced.once, &silenced.twice, &silenced.file] {
            assert_eq!(heard(&before), heard(after), "{}", show(&before, after));
            assert_eq!(
                after.text().replace("\r\n", "").contains('\n'),
                before.text().replace("\r\n", "").contains('\n')
            );
        }
        count += 1;
    }
    println!("silenced rules: {count} tunes");
    assert_eq!(count, ROUNDS as usize);
}
