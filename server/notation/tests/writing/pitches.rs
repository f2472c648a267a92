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
