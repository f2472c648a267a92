//! Notes that move, and accidentals that are shown.

use score::{AlterationFrom, Intent};
use theory::{Letter, WrittenPitch};

use super::ear::*;
use crate::{doc, note, notes, score};

#[test]
fn notes_move_and_their_neighbours_stay() {
    let (mut moved, mut kept) = (0, 0);
    for (before, mut rng) in scores() {
        let all = notes(&before);
        if all.is_empty() {
            continue;
        }
        for _ in 0..4 {
            let place = rng.usize(0..all.len());
            let octaves = [1, -1][rng.usize(0..2)];
            let to = WrittenPitch::new(
                Letter::from_steps(rng.i32(0..7)),
                rng.i8(-2..=2),
                rng.i8(3..6),
            );
            let by_octave = rng.bool();
            let intent = if by_octave {
                Intent::MoveOctaves {
                    notes: vec![all[place].span],
                    octaves,
                }
            } else {
                Intent::MoveNote {
                    note: all[place].span,
                    from: all[place].note.written,
                    to,
                }
            };
            let (after, _) = written(&before, &intent);
            only_pitches(&before, &after);
            let mut wanted = heard(&before);
            let tied = chain(&all, place);
            for &at in &tied {
                wanted[at].midi = if by_octave {
                    wanted[at].midi + 12 * i32::from(octaves)
                } else {
                    to.midi()
                };
            }
            assert_eq!(wanted, heard(&after), "{}", show(&before, &after));
            no_reader_is_worse_off(&before, &after);
            moved += tied.len();
            kept += all.len() - tied.len();
        }
    }
    println!("notes: {moved} moved, {kept} kept");
    assert_eq!((moved, kept), (566, 18_062));
}

#[test]
fn an_accidental_is_shown_and_nothing_sounds_otherwise() {
    let (mut needed, mut reminders, mut there) = (0, 0, 0);
    for (mut before, mut rng) in scores().take(40) {
        if rng.bool() {
            before = doc(&without_accidentals(before.text()));
        }
        for (place, at) in notes(&before).iter().enumerate() {
            let (after, edits) = written(
                &before,
                &Intent::ShowAccidental {
                    note: at.span,
                    brackets: false,
                },
            );
            assert_eq!(heard(&before), heard(&after), "{}", show(&before, &after));
            no_reader_is_worse_off(&before, &after);
            let shown = &notes(&after)[place].note;
            assert_eq!(shown.alteration_from, AlterationFrom::Accidental);
            match edits.iter().find(|edit| at.span.start <= edit.span.start) {
                None => there += 1,
                Some(edit) if edit.text.contains("cautionary=\"yes\"") => reminders += 1,
                Some(_) => needed += 1,
            }
        }
    }
    println!("accidentals: {needed} needed, {reminders} as reminders, {there} there already");
    assert!(needed > 50 && reminders > 500 && there > 50);
}

/// The page says less than what sounds.
fn without_accidentals(mut text: String) -> String {
    while let Some(start) = text.find("<accidental") {
        let end = start + text[start..].find("</accidental>").unwrap();
        text.replace_range(start..end + "</accidental>".len(), "");
    }
    text
}

#[test]
fn a_sign_in_another_octave_is_no_sign_on_the_line() {
    let text = score(&[&format!(
        "{}{}",
        note(
            "F#4",
            1,
            "<type>quarter</type><accidental>sharp</accidental>"
        ),
        note("F#5", 1, "<type>quarter</type><dot/><stem>up</stem>")
    )]);
    let before = doc(&text);
    let high = &notes(&before)[1];
    assert_eq!(high.note.alteration_from, AlterationFrom::Bar);
    let (after, _) = written(
        &before,
        &Intent::ShowAccidental {
            note: high.span,
            brackets: false,
        },
    );
    assert_eq!(
        after.text(),
        text.replace("<dot/>", "<dot/><accidental>sharp</accidental>")
    );
}
