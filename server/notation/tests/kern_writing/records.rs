//! Transpositions, names and silencing comments.

use notation::Document;
use score::{Intent, PartRef, Span};
use theory::{Interval, Transposition};

use crate::ear::*;
use crate::maker::ROUNDS;

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
    let said = |doc: &Document| -> Vec<(bool, Vec<String>)> {
        let directives = &doc.score().pieces[0].piece.directives;
        directives.iter().map(ignored).collect()
    };
    let here = |at: Span, rule: &str| Intent::IgnoreHere {
        at,
        rule: rule.into(),
    };
    for (before, mut rng) in scores() {
        let all = places(&before);
        if all.is_empty() {
            continue;
        }
        let at = all[rng.usize(0..all.len())].span;
        let (once, edits) = written(&before, &here(at, "range/too-high"));
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
        }
        count += 1;
    }
    println!("silenced rules: {count} scores");
    assert_eq!(count, ROUNDS as usize);
}
