//! A score kept through edits is the score of the text as it now stands.

use std::sync::Arc;

use score::Span;

use crate::ear::*;

const PIECES: [&str; 12] = [
    "4c", "\t", "\n", "*^", "*v", "=", "#", ".", "!", "*k[f#]", " ", "é",
];

#[test]
fn edits_and_fresh_readings_agree() {
    let mut compared = 0;
    for (mut kept, mut rng) in scores() {
        for _ in 0..6 {
            let text = kept.text();
            let places: Vec<usize> = text.char_indices().map(|(at, _)| at).collect();
            let start = places[rng.usize(0..places.len())];
            let end = places[(places.partition_point(|at| *at <= start)).min(places.len() - 1)];
            let span = if rng.bool() {
                Span::new(start, end.max(start))
            } else {
                Span::new(start, start)
            };
            kept.edit(span, PIECES[rng.usize(0..PIECES.len())]);
            kept.reread();
            let fresh = doc(&kept.text());
            let (old, new) = (&kept.score().pieces, &fresh.score().pieces);
            assert_eq!(old.len(), new.len(), "{}", kept.text());
            for (old, new) in old.iter().zip(new) {
                assert_eq!(old.base, new.base);
                assert_eq!(old.piece, new.piece, "{}", kept.text());
            }
            compared += 1;
        }
    }
    println!("{compared} edits gave the fresh score");
}

#[test]
fn pieces_that_no_edit_touches_are_kept() {
    let one = "**kern\n4c\n*-\n";
    let two = "!!!!SEGMENT: two\n**kern\n4d\n*-\n";
    let mut kept = doc(&[one, two].concat());
    let before: Vec<_> = kept
        .score()
        .pieces
        .iter()
        .map(|p| Arc::clone(&p.piece))
        .collect();
    kept.edit(Span::new(7, 9), "8.e");
    kept.reread();
    let after = &kept.score().pieces;
    assert!(!Arc::ptr_eq(&before[0], &after[0].piece));
    assert!(Arc::ptr_eq(&before[1], &after[1].piece));
    assert_eq!(after[1].base, one.len() + 1);
}
