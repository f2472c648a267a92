//! Notes moved by octaves and to other pitches.

use score::Intent;
use theory::{Letter, WrittenPitch};

use crate::ear::*;

/// The notes one sound with a note, by their places.
fn chain(all: &[At], of: usize) -> Vec<usize> {
    let one = |before: usize, after: usize| {
        let (from, to) = (&all[before], &all[after]);
        from.part == to.part
            && from.note.tied_to
            && to.note.tied_from
            && from.note.written == to.note.written
            && from.note.layer == to.note.layer
    };
    let mut found = vec![of];
    let mut at = of;
    while let Some(next) = (at + 1..all.len()).find(|&next| one(at, next)) {
        found.push(next);
        at = next;
    }
    at = of;
    while let Some(before) = (0..at).rev().find(|&before| one(before, at)) {
        found.push(before);
        at = before;
    }
    found
}

#[test]
fn octaves_move_what_is_named_and_nothing_else() {
    let (mut moves, mut kept) = (0, 0);
    for (before, mut rng) in scores() {
        let all = places(&before);
        if all.is_empty() {
            continue;
        }
        let named: Vec<usize> = (0..rng.usize(1..4))
            .map(|_| rng.usize(0..all.len()))
            .collect();
        let octaves = if rng.bool() { 1 } else { -1 };
        let (after, edits) = written(
            &before,
            &Intent::MoveOctaves {
                notes: named.iter().map(|place| all[*place].span).collect(),
                octaves,
            },
        );
        let mut moved: Vec<usize> = named.iter().flat_map(|place| chain(&all, *place)).collect();
        moved.sort_unstable();
        moved.dedup();
        let mut wanted = heard(&before);
        for place in &moved {
            wanted[*place].written += 12 * i32::from(octaves);
            wanted[*place].sounding += 12 * i32::from(octaves);
        }
        assert_eq!(wanted, heard(&after), "{}", show(&before, &after));
        assert_eq!(edits.len(), moved.len());
        moves += moved.len();
        kept += all.len() - moved.len();
    }
    println!("octaves: {moves} notes moved, {kept} kept");
    assert_eq!((moves, kept), (462, 6_628));
}

#[test]
fn a_note_moves_and_its_neighbours_stay() {
    let (mut moves, mut kept) = (0, 0);
    for (before, mut rng) in scores() {
        let all = places(&before);
        if all.is_empty() {
            continue;
        }
        let place = rng.usize(0..all.len());
        let letter = Letter::from_steps(rng.i32(0..7));
        let to = WrittenPitch::new(letter, rng.i8(-1..=1), rng.i8(3..6));
        let (note, from) = (all[place].span, all[place].note.written);
        let (after, _) = written(&before, &Intent::MoveNote { note, from, to });
        let moved = chain(&all, place);
        let mut wanted = heard(&before);
        let by = to.midi() - wanted[place].written;
        for place in &moved {
            wanted[*place].written += by;
            wanted[*place].sounding += by;
        }
        assert_eq!(wanted, heard(&after), "{}", show(&before, &after));
        assert_eq!(places(&after)[place].note.written, to);
        moves += moved.len();
        kept += all.len() - moved.len();
    }
    println!("pitches: {moves} notes moved, {kept} kept");
    assert_eq!((moves, kept), (245, 6_845));
}

#[test]
fn letters_and_signs_are_what_they_were_made_of() {
    let before = doc("**kern\n*I\"Horn in F\n*ITrd4c7\n[4b-X/\n4b-]\n4Bn 4c\n*-\n");
    let all = places(&before);
    let (after, _) = written(
        &before,
        &Intent::MoveOctaves {
            notes: vec![all[0].span, all[2].span],
            octaves: 1,
        },
    );
    assert_eq!(
        after.text(),
        "**kern\n*I\"Horn in F\n*ITrd4c7\n[4bb-X/\n4bb-]\n4bn 4c\n*-\n"
    );
}

#[test]
fn an_accidental_is_shown_and_nothing_sounds_otherwise() {
    let (mut added, mut there) = (0, 0);
    for (before, _) in scores() {
        for note in places(&before) {
            let intent = Intent::ShowAccidental {
                note: note.span,
                brackets: false,
            };
            let (after, edits) = written(&before, &intent);
            assert_eq!(heard(&before), heard(&after), "{}", show(&before, &after));
            let Some(first) = edits.first() else {
                there += 1;
                continue;
            };
            assert!(matches!(first.text.as_str(), "n" | "X"), "{edits:?}");
            assert!(note.span.start < first.span.start && first.span.end <= note.span.end);
            let longer = score::Span::new(note.span.start, note.span.end + 1);
            let again = after.write(&Intent::ShowAccidental {
                note: longer,
                brackets: false,
            });
            assert!(again.unwrap().is_empty());
            added += 1;
        }
    }
    println!("accidentals: {added} shown, {there} there already");
    assert!(added > 500 && there > 50);
}
