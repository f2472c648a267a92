//! Every intent, written into real scores.

use std::path::Path;

use fastrand::Rng;
use notation::{Document, Format};
use score::{Courtesy, Intent, NewMark, PartRef};
use theory::{Interval, Key, Transposition};

use super::ear::*;
use crate::notes;

#[test]
fn the_real_scores_take_every_intent() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/scores/musicxml");
    let (mut files, mut count) = (0, 0);
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        // The compressed ones are whole orchestras.
        if path
            .extension()
            .is_none_or(|extension| extension != "musicxml")
        {
            continue;
        }
        let before =
            Document::from_bytes(Format::MusicXml, &std::fs::read(&path).unwrap()).unwrap();
        let mut rng = Rng::with_seed(7);
        let all = notes(&before);
        let place = rng.usize(0..all.len());
        let part = PartRef {
            piece: 0,
            part: all[place].part,
        };
        let span = all[place].span;
        for intent in [
            Intent::DropKeySignatures {
                parts: vec![part],
                courtesy: Courtesy::NextBar,
                brackets: false,
            },
            Intent::SetKeySignature {
                part,
                key: Key::from_fifths(3),
            },
            Intent::AddMark {
                note: span,
                mark: NewMark::Plus,
            },
            Intent::AddMark {
                note: span,
                mark: NewMark::Words("con sord.".into()),
            },
            Intent::SetTransposition {
                part,
                transposition: Transposition(Interval::new(-8, -14)),
            },
            Intent::NamePart {
                part,
                name: "Horn in B♭ basso".into(),
            },
            Intent::IgnoreHere {
                at: span,
                rule: "range/too-high".into(),
            },
            Intent::IgnoreInFile {
                rule: "range/too-high".into(),
            },
        ] {
            let (after, _) = written(&before, &intent);
            assert_eq!(heard(&before), heard(&after));
            no_reader_is_worse_off(&before, &after);
            count += 1;
        }
        let (after, _) = written(
            &before,
            &Intent::MoveOctaves {
                notes: vec![span],
                octaves: -1,
            },
        );
        no_reader_is_worse_off(&before, &after);
        let (old, new) = (heard(&before), heard(&after));
        let moved = old.iter().zip(&new).filter(|(a, b)| a != b).count();
        assert_eq!(moved, chain(&all, place).len());
        files += 1;
    }
    println!("{files} real scores, {count} intents that keep the music");
    assert!(files > 5);
    assert_eq!(count, 8 * files);
}
