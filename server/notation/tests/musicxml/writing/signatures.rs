//! Key signatures that come and go, with every note still reading right.

use score::{Courtesy, EventKind, Intent};
use theory::Key;

use super::ear::*;
use crate::parts;

#[test]
fn signatures_go_and_every_note_still_reads_right() {
    let mut count = 0;
    for (before, mut rng) in scores() {
        let part = any_part(&before, &mut rng);
        let (after, _) = written(
            &before,
            &Intent::DropKeySignatures {
                parts: vec![part],
                courtesy: [Courtesy::Never, Courtesy::NextBar][rng.usize(0..2)],
                brackets: false,
            },
        );
        assert_eq!(heard(&before), heard(&after), "{}", show(&before, &after));
        no_reader_is_worse_off(&before, &after);
        for (index, (was, is)) in parts(&before).iter().zip(parts(&after)).enumerate() {
            let keys = |part: &score::Part| -> Vec<Key> {
                part.events()
                    .filter_map(|placed| match placed.event.kind {
                        EventKind::Key(key) => Some(key),
                        _ => None,
                    })
                    .collect()
            };
            if index == part.part {
                assert!(keys(is).iter().all(Key::is_none));
            } else {
                assert_eq!(keys(was), keys(is));
            }
        }
        count += heard(&before).len();
    }
    println!("signatures dropped: {count} notes");
    assert_eq!(count, 4_657);
}

#[test]
fn a_signature_comes_and_every_note_still_reads_right() {
    for (before, mut rng) in scores() {
        let part = any_part(&before, &mut rng);
        let key = Key::from_fifths(rng.i32(-7..8));
        let intent = Intent::SetKeySignature { part, key };
        let (after, _) = written(&before, &intent);
        assert_eq!(heard(&before), heard(&after));
        no_reader_is_worse_off(&before, &after);
        let start = parts(&after)[part.part].key;
        assert_eq!(start.map_or(Key::NONE, |(key, _)| key), key);
        assert!(after.write(&intent).unwrap().is_empty());
    }
}
