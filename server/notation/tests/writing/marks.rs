//! Marks put in, changed and taken out.

use notation::Document;
use score::{EventKind, Intent, MarkKind, NewMark, Sign, Span};

use crate::ear::*;
use crate::maker::ROUNDS;

fn marks(doc: &Document) -> Vec<(Span, MarkKind)> {
    let placed = &doc.score().pieces[0];
    placed
        .piece
        .parts
        .iter()
        .flat_map(score::Part::events)
        .filter_map(|event| match &event.event.kind {
            EventKind::Mark(mark) => Some((
                event.event.span.shifted(placed.base + event.base),
                mark.kind.clone(),
            )),
            _ => None,
        })
        .collect()
}

#[test]
fn marks_come_change_and_go() {
    let mut count = 0;
    for (before, mut rng) in tunes() {
        let all = places(&before);
        let note = all[rng.usize(0..all.len())].span;
        let words = ["con sord. 100% \"gently\"", "gestopft & bouché", "a\\b"];
        let made = [
            NewMark::Plus,
            NewMark::Circle,
            NewMark::Words(words[rng.usize(0..3)].into()),
        ];
        let mark = made[rng.usize(0..3)].clone();
        let (marked, edits) = written(
            &before,
            &Intent::AddMark {
                note,
                mark: mark.clone(),
            },
        );
        assert_eq!(edits.len(), 1);
        assert_eq!(heard(&before), heard(&marked), "{}", show(&before, &marked));
        let is = |kind: &MarkKind, mark: &NewMark| match (kind, mark) {
            (MarkKind::Sign(Sign::Plus), NewMark::Plus)
            | (MarkKind::Sign(Sign::Circle), NewMark::Circle) => true,
            (MarkKind::Words(text), NewMark::Words(words)) => text.text == *words,
            _ => false,
        };
        let at = edits[0].span.start;
        let find = |doc: &Document, mark: &NewMark| {
            marks(doc)
                .into_iter()
                .find(|(span, kind)| span.start == at && is(kind, mark))
                .unwrap_or_else(|| panic!("no {mark:?} in {}", show(&before, doc)))
                .0
        };
        let place = find(&marked, &mark);
        let (gone, _) = written(&marked, &Intent::RemoveMark { mark: place });
        assert_eq!(gone.text(), before.text());
        let with = made[rng.usize(0..3)].clone();
        let (other, _) = written(
            &marked,
            &Intent::ReplaceMark {
                mark: place,
                with: with.clone(),
            },
        );
        assert_eq!(heard(&before), heard(&other));
        find(&other, &with);
        assert_eq!(marks(&marked).len(), marks(&other).len());
        count += 1;
    }
    println!("marks: {count} put, changed and taken out");
    assert_eq!(count, ROUNDS as usize);
}

#[test]
fn marks_stand_after_grace_notes_and_before_accidentals_and_chords() {
    let text = "X:1\nI:decoration +\nU:p=+plus+\nK:C\n\"F\"{g}^c2 [CEG]2 pd4|]\n";
    let before = doc(text);
    let all = places(&before);
    let of = |name: &str| {
        all.iter()
            .find(|at| at.note.written.to_string() == name)
            .unwrap()
            .span
    };
    let (after, _) = written(
        &before,
        &Intent::AddMark {
            note: of("C#5"),
            mark: NewMark::Plus,
        },
    );
    assert!(
        after.text().contains("\"F\"{g}+plus+^c2"),
        "{}",
        after.text()
    );
    let (after, _) = written(
        &before,
        &Intent::AddMark {
            note: of("E4"),
            mark: NewMark::Circle,
        },
    );
    assert!(after.text().contains(" +open+[CEG]2"), "{}", after.text());
    let (short, _) = marks(&before)
        .into_iter()
        .find(|(_, kind)| *kind == MarkKind::Sign(Sign::Plus))
        .unwrap();
    let (after, _) = written(&before, &Intent::RemoveMark { mark: short });
    assert!(after.text().contains("[CEG]2 d4|]"), "{}", after.text());
}

#[test]
fn a_mark_that_goes_leaves_nothing_glued() {
    for (text, wanted) in [
        ("X:1\nK:C\nc4 |\"^open\"| c4|]\n", "X:1\nK:C\nc4 | | c4|]\n"),
        (
            "X:1\nK:C\nc4 d4|\n\"^open\"\ne8|]\n",
            "X:1\nK:C\nc4 d4|\ne8|]\n",
        ),
        ("X:1\nK:C\nc4 \"^open\" d4|]\n", "X:1\nK:C\nc4 d4|]\n"),
        ("X:1\nK:C\nc2\"^open\"d2 e4|]\n", "X:1\nK:C\nc2d2 e4|]\n"),
    ] {
        let before = doc(text);
        let (mark, _) = marks(&before)[0].clone();
        let (after, _) = written(&before, &Intent::RemoveMark { mark });
        assert_eq!(after.text(), wanted);
        assert_eq!(heard(&before), heard(&after));
    }
}
