//! Transpositions, names and silencing comments.

use notation::Document;
use score::{Intent, PartRef, Span};
use theory::{Interval, Transposition};

use crate::ear::*;
use crate::maker::ROUNDS;

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
        let said = |doc: &Document| -> Vec<(bool, Vec<String>)> {
            let score = doc.score();
            let of_pieces = score
                .pieces
                .iter()
                .flat_map(|placed| &placed.piece.directives);
            score
                .directives
                .iter()
                .chain(of_pieces)
                .map(ignored)
                .collect()
        };
        let here = |at: Span, rule: &str| Intent::IgnoreHere {
            at,
            rule: rule.into(),
        };
        let (once, edits) = written(&before, &here(at, "range/too-high"));
        assert_eq!(said(&once), [(false, vec!["range/too-high".into()])]);
        let later = at.shifted(edits[0].text.len());
        let (twice, _) = written(&once, &here(later, "rip/too-few"));
        assert_eq!(
            said(&twice),
            [(false, vec!["range/too-high".into(), "rip/too-few".into()])],
            "{}",
            show(&before, &twice)
        );
        assert!(
            once.write(&here(later, "range/too-high"))
                .unwrap()
                .is_empty()
        );
        let in_file = |rule: &str| Intent::IgnoreInFile { rule: rule.into() };
        let (file, _) = written(&before, &in_file("range/too-low"));
        let (file, _) = written(&file, &in_file("mute/no-time"));
        assert_eq!(
            said(&file),
            [(true, vec!["range/too-low".into(), "mute/no-time".into()])]
        );
        let (less, _) = written(&twice, &drop_ignored(&twice, &["range/too-high"]));
        assert_eq!(said(&less), [(false, vec!["rip/too-few".to_owned()])]);
        for after in [&twice, &file] {
            let all: Vec<String> = said(after).remove(0).1;
            let all: Vec<&str> = all.iter().map(String::as_str).collect();
            let (none, _) = written(after, &drop_ignored(after, &all));
            assert_eq!(none.text(), before.text());
        }
        for after in [&once, &twice, &file] {
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
