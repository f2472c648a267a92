//! What is recorded of a part, and comments that silence rules.

use notation::Document;
use score::Intent;
use theory::{Interval, Transposition};

use super::ear::*;
use crate::silencing::silence;
use crate::{notes, parts};

#[test]
fn transpositions_and_names_are_recorded_for_one_part() {
    for (before, mut rng) in scores() {
        let part = any_part(&before, &mut rng);
        for (steps, semitones) in [(-4, -7), (-8, -14), (-7, -12), (0, 0)] {
            let transposition = Transposition(Interval::new(steps, semitones));
            let intent = Intent::SetTransposition {
                part,
                transposition,
            };
            let (after, _) = written(&before, &intent);
            assert_eq!(heard(&before), heard(&after));
            for (index, (was, is)) in parts(&before).iter().zip(parts(&after)).enumerate() {
                let stated = is.transposition.map(|(stated, _)| stated);
                if index == part.part {
                    assert_eq!(stated, Some(transposition), "{}", show(&before, &after));
                    assert!(is.transposition_spelled);
                } else {
                    assert_eq!(stated, was.transposition.map(|(stated, _)| stated));
                }
            }
            assert!(after.write(&intent).unwrap().is_empty());
        }
        let name = "Horn in E♭ & <pier>";
        let (after, _) = written(
            &before,
            &Intent::NamePart {
                part,
                name: name.into(),
            },
        );
        let read = &parts(&after)[part.part];
        assert_eq!(read.name.as_ref().unwrap().text, name);
        let shown = "<display-text>Horn in E♭ &amp; &lt;pier></display-text>";
        let display = after.text().contains(shown);
        let displayed = before
            .text()
            .contains(&format!("<display-text>Horn in F {}<", part.part + 1));
        assert_eq!(display, displayed, "{}", show(&before, &after));
        assert_eq!(heard(&before), heard(&after));
    }
}

#[test]
fn comments_that_silence_rules_change_no_music_and_merge() {
    let (mut own_lines, mut count) = (0, 0);
    for (before, mut rng) in scores() {
        let all = notes(&before);
        if all.is_empty() {
            continue;
        }
        let at = all[rng.usize(0..all.len())].span;
        let silenced = silence(&before, at, written);
        // Where the comment got a line to itself among many elements, the space around it stays.
        let bare = |document: &Document| document.text().replace(['\n', '\r', ' ', '\t'], "");
        for gone in &silenced.gone {
            assert_eq!(bare(gone), bare(&before));
        }
        let lines = |document: &Document| document.rope().len_lines();
        if lines(&silenced.once) == lines(&before) + 1 {
            assert_eq!(silenced.gone[0].text(), before.text());
            own_lines += 1;
        }
        for after in [&silenced.once, &silenced.twice, &silenced.file] {
            assert_eq!(heard(&before), heard(after));
        }
        count += 1;
    }
    println!("silenced rules: {count} scores, {own_lines} with a line for each element");
    assert_eq!((count, own_lines), (120, 91));
}
