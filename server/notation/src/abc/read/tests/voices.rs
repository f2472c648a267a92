//! Voices, their names, transpositions and what each keeps to itself.

use score::EventKind;
use theory::{Interval, Transposition};

use super::{lengths, part, piece, pitches};

#[test]
fn a_tune_without_voices_is_one_part() {
    let text = "X:1\nT:Pier\nK:C\nc|\n";
    let piece = piece(text);
    assert_eq!(piece.parts.len(), 1);
    assert_eq!(piece.parts[0].id, "1");
    assert_eq!(&text[piece.parts[0].head.range()], "K:C");
    assert_eq!(&text[piece.title.as_ref().unwrap().span.range()], "Pier");
}

#[test]
fn names_stand_within_their_quotes() {
    let text = "X:1\nV:1 name=\"Horn in F\"\nV:2 nm=\"Corno \\u266d\" subname=\"C.\"\nV:3\nK:C\n[V:1] c | [V:2] d |\n";
    let piece = piece(text);
    let name = |index: usize| piece.parts[index].name.clone();
    let first = name(0).unwrap();
    assert_eq!(
        (first.text.as_str(), &text[first.span.range()]),
        ("Horn in F", "Horn in F")
    );
    assert_eq!(name(1).unwrap().text, "Corno ♭");
    assert_eq!(name(2), None);
    assert_eq!(&text[piece.parts[2].head.range()], "V:3");
}

#[test]
fn fields_and_inline_fields_call_voices() {
    let text =
        "X:1\nM:4/4\nL:1/4\nV:1\nV:2\nK:C\nc4 | [V:2] C4 | [V:1] d4 |\nV:2\nD4 |\nV:3\nE4 |\n";
    let piece = piece(text);
    let read: Vec<(&str, String)> = piece
        .parts
        .iter()
        .map(|part| (part.id.as_str(), pitches(part)))
        .collect();
    assert_eq!(
        read,
        [
            ("1", "C5 D5".into()),
            ("2", "C4 D4".into()),
            ("3", "E4".into())
        ]
    );
}

#[test]
fn each_voice_keeps_its_own_state() {
    let text = "X:1\nM:4/4\nL:1/4\nV:1\nV:2\nK:C\n[V:1] ^f2 [V:2] f2 [V:1] f2 | [V:1] [K:G][L:1/8] f4 | [V:2] f2 | f4 |\n";
    let piece = piece(text);
    assert_eq!(pitches(&piece.parts[0]), "F#5 F#5 F#5");
    assert_eq!(pitches(&piece.parts[1]), "F5 F5 F5");
    assert_eq!(lengths(&piece.parts[0]), "2 2 2");
    assert_eq!(lengths(&piece.parts[1]), "2 2 4");
}

fn semitones(text: &str) -> Vec<Option<i32>> {
    piece(text)
        .parts
        .iter()
        .map(|part| part.transposition.map(|(recorded, _)| recorded.0.semitones))
        .collect()
}

#[test]
fn transpositions_of_key_and_voice() {
    assert_eq!(semitones("X:1\nK:C transpose=-7\nc|"), [Some(-7)]);
    assert_eq!(semitones("X:1\nK:C t=-9\nc|"), [Some(-9)]);
    assert_eq!(
        semitones("X:1\nV:1\nV:2 transpose=-9\nK:C transpose=-7\nc|"),
        [Some(-7), Some(-9)]
    );
    assert_eq!(semitones("X:1\nK:C clef=treble-8\nc|"), [None]);
    assert_eq!(semitones("X:1\nK:C\nV:1 transpose=-3\nc|"), [Some(-3)]);
}

#[test]
fn a_transposition_has_its_place_and_its_usual_steps() {
    let text = "X:1\nK:C clef=treble transpose=-7\nc|\n";
    let piece = piece(text);
    let (recorded, place) = piece.parts[0].transposition.unwrap();
    assert_eq!(recorded, Transposition(Interval::new(-4, -7)));
    assert_eq!(&text[place.range()], "transpose=-7");
    assert!(!piece.parts[0].transposition_spelled);
}

#[test]
fn a_change_of_crook_on_the_way_is_an_event() {
    let part = part("c4 | [K:none transpose=-9] c4 |");
    let changes: Vec<(usize, i32)> = part
        .events()
        .filter_map(|placed| match placed.event.kind {
            EventKind::Transposition(recorded) => Some((placed.bar, recorded.0.semitones)),
            _ => None,
        })
        .collect();
    assert_eq!(changes, [(1, -9)]);
    assert_eq!(part.transposition, None);
}

#[test]
fn octaves_of_a_voice() {
    let text = "X:1\nV:1\nV:2 octave=-1\nK:C octave=1\n[V:1]c|[V:2]c|\n";
    let piece = piece(text);
    assert_eq!(pitches(&piece.parts[0]), "C6");
    assert_eq!(pitches(&piece.parts[1]), "C4");
}
