//! Letters, accidentals, signatures and ties.

use score::AlterationFrom::{Accidental, Bar, Key, Nothing, Tie};

use super::{notes, part, part_in, piece, pitches};

#[test]
fn letters_and_octave_marks() {
    assert_eq!(pitches(&part("C c C, c' C,' C'")), "C4 C5 C3 C6 C4 C5");
    assert_eq!(pitches(&part("^c ^^d _e __f =g")), "C#5 D##5 Eb5 Fbb5 G5");
}

#[test]
fn an_accidental_holds_in_all_octaves_to_the_end_of_the_bar() {
    let part = part("^f f f' F | f");
    assert_eq!(pitches(&part), "F#5 F#5 F#6 F#4 F5");
    let from: Vec<_> = notes(&part).map(|note| note.alteration_from).collect();
    assert_eq!(from, [Accidental, Bar, Bar, Bar, Nothing]);
}

#[test]
fn the_file_may_say_how_far_accidentals_reach() {
    for (reach, expected) in [
        ("not", "F#5 F5 F6"),
        ("octave", "F#5 F#5 F6"),
        ("pitch", "F#5 F#5 F#6"),
    ] {
        for text in [
            format!("%%propagate-accidentals {reach}\n\nX:1\nK:C\n^f f f'"),
            format!("I:propagate-accidentals {reach}\n\nX:1\nK:C\n^f f f'"),
            format!("X:1\n%%propagate-accidentals {reach}\nK:C\n^f f f'"),
            format!("X:1\nK:C\n%%propagate-accidentals {reach}\n^f f f'"),
            format!("X:1\nK:C\nI:propagate-accidentals {reach}\n^f f f'"),
            format!("X:1\nK:C\n[I:propagate-accidentals {reach}] ^f f f'"),
        ] {
            assert_eq!(pitches(&piece(&text).parts[0]), expected, "{text}");
        }
    }
}

#[test]
fn files_of_any_version_share_the_default() {
    for version in ["", "%abc\n", "%abc-2.0\n", "%abc-2.1\n"] {
        let piece = piece(&format!("{version}\nX:1\nK:C\n^f f'"));
        assert_eq!(pitches(&piece.parts[0]), "F#5 F#6", "{version}");
    }
}

#[test]
fn a_natural_and_a_signature() {
    let part = part_in("D", "f =f f | c f");
    assert_eq!(pitches(&part), "F#5 F5 F5 C#5 F#5");
    let from: Vec<_> = notes(&part).map(|note| note.alteration_from).collect();
    assert_eq!(from, [Key, Accidental, Bar, Key, Key]);
}

#[test]
fn grace_and_chord_notes_read_and_write_accidentals() {
    assert_eq!(pitches(&part("{^f}f g | f")), "F#5 F#5 G5 F5");
    assert_eq!(pitches(&part("^c {c}d")), "C#5 C#5 D5");
    assert_eq!(pitches(&part("[^ce] [ce'] | c")), "C#5 E5 C#5 E6 C5");
}

#[test]
fn a_tie_over_a_barline_carries_its_alteration_to_the_tied_note_alone() {
    let part = part("^f4- | f2 f2");
    assert_eq!(pitches(&part), "F#5 F#5 F5");
    let ties: Vec<_> = notes(&part)
        .map(|note| (note.tied_from, note.tied_to, note.alteration_from))
        .collect();
    assert_eq!(
        ties,
        [
            (false, true, Accidental),
            (true, false, Tie),
            (false, false, Nothing)
        ]
    );
}

#[test]
fn ties_in_and_after_chords() {
    let held = |music| -> Vec<(bool, bool)> {
        notes(&part(music))
            .map(|note| (note.tied_from, note.tied_to))
            .collect()
    };
    assert_eq!(
        held("[ce]2- | [ce]2"),
        [(false, true), (false, true), (true, false), (true, false)]
    );
    assert_eq!(
        held("[c-e]2 | [ce]2"),
        [(false, true), (false, false), (true, false), (false, false)]
    );
    assert_eq!(held("c- d"), [(false, true), (false, false)]);
}

#[test]
fn signatures() {
    for (key, expected) in [
        ("C", "F5 C5 G5 B5 E5 A5"),
        ("none", "F5 C5 G5 B5 E5 A5"),
        ("", "F5 C5 G5 B5 E5 A5"),
        ("G", "F#5 C5 G5 B5 E5 A5"),
        ("Em", "F#5 C5 G5 B5 E5 A5"),
        ("E min", "F#5 C5 G5 B5 E5 A5"),
        ("A dorian", "F#5 C5 G5 B5 E5 A5"),
        ("DMIX", "F#5 C5 G5 B5 E5 A5"),
        ("B phr", "F#5 C5 G5 B5 E5 A5"),
        ("C lyd", "F#5 C5 G5 B5 E5 A5"),
        ("F# loc", "F#5 C5 G5 B5 E5 A5"),
        ("Eb", "F5 C5 G5 Bb5 Eb5 Ab5"),
        ("C aeo", "F5 C5 G5 Bb5 Eb5 Ab5"),
        ("F#", "F#5 C#5 G#5 B5 E#5 A#5"),
        ("HP", "F5 C5 G5 B5 E5 A5"),
        ("Hp", "F#5 C#5 G5 B5 E5 A5"),
        ("D =c", "F#5 C5 G5 B5 E5 A5"),
        ("D Phr ^f", "F#5 C5 G5 Bb5 Eb5 A5"),
        ("D exp _b _e ^f", "F#5 C5 G5 Bb5 Eb5 A5"),
        ("Bb clef=treble", "F5 C5 G5 Bb5 Eb5 A5"),
    ] {
        assert_eq!(pitches(&part_in(key, "fcgbea")), expected, "K:{key}");
    }
}

#[test]
fn a_signature_may_change_on_the_way() {
    assert_eq!(
        pitches(&part("f [K:G] f | f\nK:F\nf b")),
        "F5 F#5 F#5 F5 Bb5"
    );
    // What stands in the bar already goes on to hold.
    assert_eq!(pitches(&part("=f [K:G] f | f")), "F5 F5 F#5");
    assert_eq!(pitches(&part_in("G", "f [K:clef=bass] f")), "F#5 F#5");
}

#[test]
fn clefs_and_middle_leave_the_letters_alone() {
    for words in ["bass", "clef=treble-8", "treble+8", "clef=alto middle=d"] {
        assert_eq!(
            pitches(&part_in(&format!("C {words}"), "C c")),
            "C4 C5",
            "{words}"
        );
    }
    assert_eq!(pitches(&part_in("C octave=-1", "C c")), "C3 C4");
}
