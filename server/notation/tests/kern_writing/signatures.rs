//! Key signatures taken out and put in.

use score::{Courtesy, Intent, PartRef};
use theory::Key;

use crate::ear::*;
use crate::maker::ROUNDS;

#[test]
fn dropping_signatures_keeps_every_sound() {
    let (mut notes, mut edited) = (0, 0);
    for (before, mut rng) in scores() {
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
            assert_eq!(keys(&before, other), keys(&after, other));
        }
        assert!(after.write(&intent).unwrap().is_empty());
        notes += heard(&before).len();
        edited += edits.len();
    }
    println!("dropped signatures in {ROUNDS} scores: {notes} notes kept, {edited} edits");
    assert_eq!(notes, 7_090);
    assert!(edited > 600, "{edited}");
}

#[test]
fn setting_a_signature_keeps_every_sound() {
    let mut notes = 0;
    for (before, mut rng) in scores() {
        let parts = before.score().pieces[0].piece.parts.len();
        let part = rng.usize(0..parts);
        let key = Key::from_fifths(rng.i32(-5..=5));
        let intent = Intent::SetKeySignature {
            part: PartRef { piece: 0, part },
            key,
        };
        let (after, _) = written(&before, &intent);
        assert_eq!(heard(&before), heard(&after), "{}", show(&before, &after));
        assert!(
            keys(&after, part).first().is_none_or(|first| *first == key),
            "{}",
            show(&before, &after)
        );
        for other in (0..parts).filter(|other| *other != part) {
            assert_eq!(keys(&before, other), keys(&after, other));
        }
        notes += heard(&before).len();
    }
    println!("set signatures in {ROUNDS} scores: {notes} notes kept");
    assert_eq!(notes, 7_090);
}

#[test]
fn none_on_the_page_is_concert_level_in_the_data() {
    let before = doc(
        "**kern\t**kern\n*I\"Horn in F\t*I\"Oboe\n*ITrd4c7\t*\n*k[b-e-]\t*k[b-e-]\n4e-\t4b-\n4en\t4g\n*-\t*-\n",
    );
    let intent = Intent::DropKeySignatures {
        parts: vec![PartRef { piece: 0, part: 1 }],
        courtesy: Courtesy::Never,
        brackets: false,
    };
    let (after, _) = written(&before, &intent);
    assert_eq!(
        after.text(),
        "**kern\t**kern\n*I\"Horn in F\t*I\"Oboe\n*ITrd4c7\t*\n*k[b-]\t*k[b-e-]\n4e-X\t4b-\n4en\t4g\n*-\t*-\n"
    );
    let part = PartRef { piece: 0, part: 1 };
    let key = Key::from_fifths(-1);
    let (again, _) = written(&after, &Intent::SetKeySignature { part, key });
    assert_eq!(again.text(), before.text());
}

/// A change of crook brings another signature with it; what is written for that stands above the words over the note.
#[test]
fn nothing_comes_between_a_note_and_the_words_above_it() {
    let text = |key: &str| {
        format!(
            "**kern\n*I\"Horn in F\n*ITrd4c7\n*k[f#]\n4g\n=2\n*I\"Horn in D\n*ITrd6c10\n{key}!! bar 2\n!LO:TX:a:t=muta in D\n4f#\n*-\n"
        )
    };
    let before = doc(&text(""));
    let intent = Intent::DropKeySignatures {
        parts: vec![PartRef { piece: 0, part: 0 }],
        courtesy: Courtesy::Never,
        brackets: false,
    };
    let (after, _) = written(&before, &intent);
    assert_eq!(heard(&before), heard(&after), "{}", show(&before, &after));
    let wanted = text("*k[f#c#]\n").replacen("*k[f#]\n", "*k[b-]\n", 1);
    assert_eq!(after.text(), wanted);
}
