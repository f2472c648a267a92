//! Notes moved by octaves and to other pitches.

use notation::Document;
use score::{Courtesy, Intent, PartRef};
use theory::{Letter, WrittenPitch};

use crate::ear::*;
use crate::maker::*;

fn moved_as_told(before: &Document, after: &Document, moved: &[usize], to: impl Fn(i32) -> i32) {
    let mut wanted = heard(before);
    for place in moved {
        wanted[*place].midi = to(wanted[*place].midi);
    }
    assert_eq!(wanted, heard(after), "{}", show(before, after));
}

#[test]
fn octaves_move_what_is_named_and_nothing_else() {
    let (mut moves, mut kept) = (0, 0);
    for (before, mut rng) in tunes() {
        let all = places(&before);
        if all.is_empty() {
            continue;
        }
        for _ in 0..4 {
            let named: Vec<usize> = (0..rng.usize(1..4))
                .map(|_| rng.usize(0..all.len()))
                .collect();
            let octaves = if rng.bool() { 1 } else { -1 };
            let intent = Intent::MoveOctaves {
                notes: named.iter().map(|place| all[*place].span).collect(),
                octaves,
            };
            let (after, edits) = written(&before, &intent);
            let mut moved: Vec<usize> =
                named.iter().flat_map(|place| chain(&all, *place)).collect();
            moved.sort_unstable();
            moved.dedup();
            moved_as_told(&before, &after, &moved, |midi| {
                midi + 12 * i32::from(octaves)
            });
            only_needed(&before, &edits, true);
            moves += moved.len();
            kept += all.len() - moved.len();
        }
    }
    println!("octaves: {moves} notes moved, {kept} kept");
    assert_eq!((moves, kept), (2_899, 100_469));
}

#[test]
fn a_note_moves_and_its_neighbours_stay() {
    let (mut moves, mut kept) = (0, 0);
    for (before, mut rng) in tunes() {
        let all = places(&before);
        if all.is_empty() {
            continue;
        }
        for _ in 0..4 {
            let place = rng.usize(0..all.len());
            let to = WrittenPitch::new(
                Letter::from_steps(rng.i32(0..7)),
                rng.i8(-2..=2),
                rng.i8(3..6),
            );
            let (after, edits) = written(
                &before,
                &Intent::MoveNote {
                    note: all[place].span,
                    from: all[place].note.written,
                    to,
                },
            );
            let moved = chain(&all, place);
            moved_as_told(&before, &after, &moved, |_| to.midi());
            assert!(places(&after)[place].note.written == to);
            only_needed(&before, &edits, true);
            moves += moved.len();
            kept += all.len() - moved.len();
        }
    }
    println!("pitches: {moves} notes moved, {kept} kept");
    assert_eq!((moves, kept), (1_489, 101_879));
}

#[test]
fn an_accidental_is_shown_and_nothing_sounds_otherwise() {
    let (mut added, mut there) = (0, 0);
    for (before, _) in tunes() {
        for note in places(&before) {
            let intent = Intent::ShowAccidental {
                note: note.span,
                brackets: false,
            };
            let (after, edits) = written(&before, &intent);
            assert_eq!(heard(&before), heard(&after), "{}", show(&before, &after));
            only_needed(&before, &edits, false);
            let signed = &before.text()[note.pitch_span.range()];
            if signed.starts_with(['^', '_', '=']) {
                assert!(edits.is_empty(), "{edits:?}");
                there += 1;
                continue;
            }
            let first = &edits[0];
            assert_eq!(first.span.start, note.pitch_span.start, "{edits:?}");
            assert!(
                after
                    .write(&intent_at(&after, first.span.start))
                    .unwrap()
                    .is_empty()
            );
            added += 1;
        }
    }
    println!("accidentals: {added} shown, {there} there already");
    assert!(added > 500 && there > 100);
}

/// Showing the accidental of the note whose pitch begins at a byte.
fn intent_at(doc: &Document, byte: usize) -> Intent {
    let all = places(doc);
    let note = all.iter().find(|at| at.pitch_span.start == byte).unwrap();
    Intent::ShowAccidental {
        note: note.span,
        brackets: false,
    }
}

#[test]
fn accidentals_are_shown_in_chords_graces_and_after_ties() {
    for (bar, note, wanted) in [
        ("^F2 f2", "f2", "^F2 ^f2"),
        ("^F2 [Acf]2", "f", "^F2 [Ac^f]2"),
        ("^F2 {f}g2", "f", "^F2 {^f}g2"),
        ("_B2 =B2 b2", "b2", "_B2 =B2 =b2"),
        ("^f2-|f2 f2", "f2 f2", "^f2-|^f2 =f2"),
    ] {
        let text = format!("X:1\nK:C\n{bar}|]\n");
        let before = doc(&text);
        let start = text.rfind(note).unwrap();
        let (after, _) = written(&before, &intent_at(&before, start));
        assert_eq!(after.text(), format!("X:1\nK:C\n{wanted}|]\n"));
        assert_eq!(heard(&before), heard(&after));
    }
}

/// A reader who lets accidentals reach otherwise than the file says hears no note wrong that he heard right before.
#[test]
fn no_other_reader_is_worse_off() {
    let mut compared = 0;
    for seed in 0..ROUNDS {
        let mut maker = Maker::new(seed);
        let mode = ["octave", "pitch"][maker.rng.usize(0..2)];
        maker.changing = false;
        let text = maker.tune(Some(mode));
        let before = doc(&text);
        let all = places(&before);
        let note = maker.rng.usize(0..all.len());
        for intent in [
            Intent::DropKeySignatures {
                parts: vec![PartRef { piece: 0, part: 0 }],
                courtesy: Courtesy::Never,
                brackets: false,
            },
            Intent::MoveOctaves {
                notes: vec![all[note].span],
                octaves: 1,
            },
        ] {
            let (after, _) = written(&before, &intent);
            let (old, new) = (heard(&before), heard(&after));
            for other in ["octave", "pitch"] {
                let old_other = heard_under(&text, mode, other);
                let new_other = heard_under(&after.text(), mode, other);
                for place in 0..old.len() {
                    if old[place].midi == old_other[place] {
                        assert_eq!(
                            new[place].midi,
                            new_other[place],
                            "{}",
                            show(&before, &after)
                        );
                        compared += 1;
                    }
                }
            }
        }
    }
    println!("other readers: {compared} notes compared");
    assert_eq!(compared, 100_850);
}

#[test]
fn notes_that_relied_on_a_moved_accidental_get_their_own() {
    let before = doc("X:1\n%%propagate-accidentals octave\nK:C\n^F2 F2 f2 F2|]\n");
    let all = places(&before);
    let (after, _) = written(
        &before,
        &Intent::MoveOctaves {
            notes: vec![all[0].span],
            octaves: 1,
        },
    );
    assert_eq!(
        after.text(),
        "X:1\n%%propagate-accidentals octave\nK:C\n^f2 ^F2 =f2 ^F2|]\n",
        "the last one's sign is for readers who let `=f` reach all octaves"
    );
}
