//! Marks that come, change and go, and what they leave behind.

use notation::Document;
use score::{EventKind, Intent, MarkKind, NewMark, Sign, Span};

use super::ear::*;
use crate::{doc, note, notes, parts, score};

fn marks(doc: &Document) -> Vec<(Span, MarkKind)> {
    parts(doc)
        .iter()
        .flat_map(score::Part::events)
        .filter_map(|placed| match &placed.event.kind {
            EventKind::Mark(mark) => Some((placed.span(), mark.kind.clone())),
            _ => None,
        })
        .collect()
}

#[test]
fn marks_come_change_and_go() {
    let mut count = 0;
    for (before, mut rng) in scores() {
        let all = notes(&before);
        if all.is_empty() {
            continue;
        }
        let span = all[rng.usize(0..all.len())].span;
        let made = [
            NewMark::Plus,
            NewMark::Circle,
            NewMark::Words("senza sord. & <dolce>".into()),
        ];
        let mark = made[rng.usize(0..3)].clone();
        let intent = Intent::AddMark {
            note: span,
            mark: mark.clone(),
        };
        let (marked, edits) = written(&before, &intent);
        assert_eq!(edits.len(), 1);
        assert_eq!(heard(&before), heard(&marked));
        let is = |kind: &MarkKind, mark: &NewMark| match (kind, mark) {
            (MarkKind::Sign(Sign::Plus), NewMark::Plus)
            | (MarkKind::Sign(Sign::Circle), NewMark::Circle) => true,
            (MarkKind::Words(text), NewMark::Words(words)) => text.text == *words,
            _ => false,
        };
        let new = Span::new(
            edits[0].span.start,
            edits[0].span.start + edits[0].text.len(),
        );
        let place = marks(&marked)
            .into_iter()
            .find(|(span, kind)| new.start <= span.start && span.end <= new.end && is(kind, &mark))
            .unwrap_or_else(|| panic!("no {mark:?} in {}", show(&before, &marked)))
            .0;
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
        assert_eq!(marks(&marked).len(), marks(&other).len());
        let of = |doc: &Document| marks(doc).iter().filter(|(_, k)| is(k, &with)).count();
        assert_eq!(of(&other), of(&before) + 1, "{}", show(&marked, &other));
        count += 1;
    }
    println!("marks: {count} put, changed and taken out");
    assert_eq!(count, 120);
}

#[test]
fn what_a_mark_leaves_behind() {
    let music = "<direction><direction-type><words>con sord.</words></direction-type>\
        <sound tempo=\"90\"><play><mute>on</mute></play></sound></direction>\
        <direction><direction-type><words>dolce</words></direction-type><direction-type><dynamics><p/></dynamics>\
        </direction-type></direction>\
        <direction><direction-type><words>con sord.</words></direction-type><sound><play><mute>on</mute></play></sound>\
        </direction>";
    let before = doc(&score(&[&format!("{music}{}", note("G4", 1, ""))]));
    let places: Vec<Span> = marks(&before)
        .iter()
        .filter(|(_, kind)| matches!(kind, MarkKind::Words(_)))
        .map(|(span, _)| *span)
        .collect();
    for (place, wanted) in [
        "<sound tempo=\"90\"><play><mute>on</mute></play></sound><direction><direction-type><words>dolce",
        "</direction><direction><direction-type><dynamics><p/></dynamics></direction-type></direction><direction>",
        "</dynamics></direction-type></direction><note>",
    ]
    .iter()
    .enumerate()
    {
        let mark = places[place];
        let (after, _) = written(&before, &Intent::RemoveMark { mark });
        assert!(after.text().contains(wanted), "{place}: {}", after.text());
    }
}
