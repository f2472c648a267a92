//! Marks put in, changed and taken out.

use notation::Document;
use score::{EventKind, Intent, MarkKind, NewMark, Sign, Span};

use crate::ear::*;
use crate::maker::ROUNDS;

fn marks(doc: &Document) -> Vec<(Span, MarkKind)> {
    let placed = &doc.score().pieces[0];
    let events = placed.piece.parts.iter().flat_map(score::Part::events);
    events
        .filter_map(|event| match &event.event.kind {
            EventKind::Mark(mark) => Some((event.span().shifted(placed.base), mark.kind.clone())),
            _ => None,
        })
        .collect()
}

fn is(kind: &MarkKind, mark: &NewMark) -> bool {
    match (kind, mark) {
        (MarkKind::Sign(Sign::Plus), NewMark::Plus)
        | (MarkKind::Sign(Sign::Circle), NewMark::Circle) => true,
        (MarkKind::Words(text), NewMark::Words(words)) => text.text == *words,
        _ => false,
    }
}

#[test]
fn marks_come_change_and_go() {
    let mut count = 0;
    for (before, mut rng) in scores() {
        let all = places(&before);
        if all.is_empty() {
            continue;
        }
        let made = [
            NewMark::Plus,
            NewMark::Circle,
            NewMark::Words("con sord.: gently".into()),
        ];
        let note = all[rng.usize(0..all.len())].span;
        let mark = made[rng.usize(0..3)].clone();
        let add = Intent::AddMark {
            note,
            mark: mark.clone(),
        };
        let (marked, edits) = written(&before, &add);
        assert_eq!(edits.len(), 1);
        assert_eq!(heard(&before), heard(&marked), "{}", show(&before, &marked));
        let known = marks(&before).len();
        let after = marks(&marked);
        assert_eq!(after.len(), known + 1, "{}", show(&before, &marked));
        let span = after
            .iter()
            .map(|(span, _)| *span)
            .find(|span| edits[0].span.start <= span.start)
            .and_then(|_| {
                let added = |(span, kind): &&(Span, MarkKind)| {
                    is(kind, &mark)
                        && edits[0].span.start <= span.start
                        && span.end <= edits[0].span.start + edits[0].text.len()
                };
                after.iter().find(added).map(|(span, _)| *span)
            })
            .unwrap_or_else(|| panic!("{}", show(&before, &marked)));
        let with = made[rng.usize(0..3)].clone();
        let (changed, _) = written(
            &marked,
            &Intent::ReplaceMark {
                mark: span,
                with: with.clone(),
            },
        );
        assert!(marks(&changed).iter().any(|(_, kind)| is(kind, &with)));
        let (removed, _) = written(&marked, &Intent::RemoveMark { mark: span });
        assert_eq!(removed.text(), before.text());
        count += 1;
    }
    println!("marks: {count} scores");
    assert_eq!(count, ROUNDS as usize);
}

#[test]
fn any_mark_can_be_taken_out() {
    let mut count = 0;
    for (before, _) in scores() {
        for (span, _) in marks(&before) {
            let (after, _) = written(&before, &Intent::RemoveMark { mark: span });
            assert_eq!(heard(&before), heard(&after), "{}", show(&before, &after));
            assert_eq!(marks(&after).len() + 1, marks(&before).len());
            count += 1;
        }
    }
    println!("{count} marks taken out");
    assert!(count > 1_500, "{count}");
}

#[test]
fn a_mark_stands_in_its_column_below_splits_and_above_instructions() {
    let before =
        doc("**kern\t**kern\n*^\t*\n!! bellhand: ignore range/too-high\n4c\t4e\t4g\n*-\t*-\t*-\n");
    let all = places(&before);
    let note = all.iter().find(|at| at.note.layer == 1).unwrap().span;
    let (after, _) = written(
        &before,
        &Intent::AddMark {
            note,
            mark: NewMark::Plus,
        },
    );
    assert_eq!(
        after.text(),
        "**kern\t**kern\n*^\t*\n!\t!LO:TX:a:t=+\t!\n!! bellhand: ignore range/too-high\n4c\t4e\t4g\n*-\t*-\t*-\n"
    );
    let free = doc("**kern\t**kern\n!LO:TX:a:t=solo\t!\n4c\t4g;\n*-\t*-\n");
    let note = places(&free)[0].span;
    let mark = NewMark::Words("a 2".into());
    let (filled, _) = written(&free, &Intent::AddMark { note, mark });
    assert_eq!(
        filled.text(),
        "**kern\t**kern\n!LO:TX:a:t=solo\t!LO:TX:a:t=a 2\n4c\t4g;\n*-\t*-\n"
    );
}
