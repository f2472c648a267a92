//! Key signatures taken out and put in.

use score::{Courtesy, Intent, PartRef};
use theory::{Key, Letter};

use crate::ear::*;
use crate::maker::*;

#[test]
fn dropping_signatures_keeps_every_sound() {
    let (mut notes, mut edited) = (0, 0);
    for (before, mut rng) in tunes() {
        let parts = before.score().pieces[0].piece.parts.len();
        let part = rng.usize(0..parts);
        let courtesy = if rng.bool() {
            Courtesy::Never
        } else {
            Courtesy::NextBar
        };
        let intent = Intent::DropKeySignatures {
            parts: vec![PartRef { piece: 0, part }],
            courtesy,
            brackets: false,
        };
        let (after, edits) = written(&before, &intent);
        assert_eq!(heard(&before), heard(&after), "{}", show(&before, &after));
        assert!(
            keys(&after, part).iter().all(Key::is_none),
            "{}",
            show(&before, &after)
        );
        for other in (0..parts).filter(|other| *other != part) {
            assert_eq!(
                keys(&before, other),
                keys(&after, other),
                "{}",
                show(&before, &after)
            );
        }
        only_needed(&before, &edits, false);
        assert!(after.write(&intent).unwrap().is_empty());
        notes += heard(&before).len();
        edited += edits.len();
    }
    println!("dropped signatures in {ROUNDS} tunes: {notes} notes kept, {edited} edits");
    assert_eq!(notes, 25_842);
    assert!(edited > 1_200, "{edited}");
}

#[test]
fn setting_a_signature_keeps_every_sound() {
    let (mut notes, mut edited) = (0, 0);
    for (before, mut rng) in tunes() {
        let parts = before.score().pieces[0].piece.parts.len();
        let part = PartRef {
            piece: 0,
            part: rng.usize(0..parts),
        };
        let key = if rng.u8(0..5) == 0 {
            Key::NONE
                .with(Letter::B, theory::Alteration::FLAT)
                .with(Letter::F, theory::Alteration::SHARP)
        } else {
            Key::from_fifths(rng.i32(-8..=8))
        };
        let (after, edits) = written(&before, &Intent::SetKeySignature { part, key });
        assert_eq!(heard(&before), heard(&after), "{}", show(&before, &after));
        assert!(
            keys(&after, part.part)
                .first()
                .is_none_or(|first| *first == key),
            "{}",
            show(&before, &after)
        );
        only_needed(&before, &edits, false);
        notes += heard(&before).len();
        edited += edits.len();
    }
    println!("set signatures in {ROUNDS} tunes: {notes} notes kept, {edited} edits");
    assert_eq!(notes, 25_842);
    assert!(edited > 1_000, "{edited}");
}

#[test]
fn a_signature_goes_and_comes_back() {
    let before =
        doc("X:1\nK:Bb clef=treble transpose=-7 % low water\nB2 =B2 _A2 F2|e2 E2 B2 b2|]\n");
    let part = PartRef { piece: 0, part: 0 };
    let (bare, _) = written(
        &before,
        &Intent::DropKeySignatures {
            parts: vec![part],
            courtesy: Courtesy::Never,
            brackets: false,
        },
    );
    assert_eq!(
        bare.text(),
        "X:1\nK:none clef=treble transpose=-7 % low water\n_B2 =B2 _A2 F2|_e2 _E2 _B2 _b2|]\n"
    );
    let key = Key::from_fifths(-2);
    let (again, _) = written(&bare, &Intent::SetKeySignature { part, key });
    assert_eq!(again.text(), before.text());
}

#[test]
fn courtesy_accidentals_stand_in_the_next_bar_once() {
    let before = doc("X:1\nK:D\nF2 c2 A4|=F2 F2 A4|F2 =c2 c2 c2|\n");
    let intent = |courtesy| Intent::DropKeySignatures {
        parts: vec![PartRef { piece: 0, part: 0 }],
        courtesy,
        brackets: false,
    };
    let (plain, _) = written(&before, &intent(Courtesy::Never));
    assert_eq!(
        plain.text(),
        "X:1\nK:none\n^F2 ^c2 A4|=F2 F2 A4|^F2 =c2 c2 c2|\n"
    );
    let before = doc("X:1\nK:G\n^c2 f2 z4|c2 c2 f4|\n");
    let (courteous, _) = written(&before, &intent(Courtesy::NextBar));
    assert_eq!(courteous.text(), "X:1\nK:none\n^c2 ^f2 z4|=c2 c2 ^f4|\n");
}

#[test]
fn a_shared_signature_stays_for_the_others() {
    let before = doc("X:1\nV:1\nV:2\nK:F\nV:1\nB4 c4|]\nV:2\nB4 c4|]\n");
    let (after, _) = written(
        &before,
        &Intent::DropKeySignatures {
            parts: vec![PartRef { piece: 0, part: 1 }],
            courtesy: Courtesy::Never,
            brackets: false,
        },
    );
    assert_eq!(
        after.text(),
        "X:1\nV:1\nV:2\nK:F\nV:1\nB4 c4|]\nV:2\n[K:none]_B4 c4|]\n"
    );
}

#[test]
fn a_signature_shared_by_all_who_lose_it_goes_where_it_stands() {
    let text = "X:1\nV:1\nV:2\nK:Bb clef=treble % by the pier\n[V:1] B2 c2|\n[V:2] E4|]\n";
    let before = doc(text);
    let parts = vec![PartRef { piece: 0, part: 0 }, PartRef { piece: 0, part: 1 }];
    let (after, _) = written(
        &before,
        &Intent::DropKeySignatures {
            parts,
            courtesy: Courtesy::Never,
            brackets: false,
        },
    );
    assert_eq!(
        after.text(),
        "X:1\nV:1\nV:2\nK:none clef=treble % by the pier\n[V:1] _B2 c2|\n[V:2] _E4|]\n"
    );
    assert_eq!(heard(&before), heard(&after));
}
