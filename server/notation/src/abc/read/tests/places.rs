//! Instructions to this tool, and what cannot be read, each with its place.

use score::{DirectiveKind, Unreadable};

use super::piece;
use crate::{Document, Format};

#[test]
fn instructions_in_and_outside_tunes() {
    let text = "% bellhand: ignore in file a/b\n\nX:1\nK:C\n% a word to the copyist\n% bellhand: ignore c/d\nc | % bellhand: ignore e/f: on purpose\nd |\n\n% bellhand: part * = horn\n";
    let document = Document::from_text(Format::Abc, text);
    let score = document.score();
    let outside: Vec<&str> = score
        .directives
        .iter()
        .map(|directive| &text[directive.span.range()])
        .collect();
    assert_eq!(
        outside,
        ["bellhand: ignore in file a/b", "bellhand: part * = horn"]
    );
    let placed = &score.pieces[0];
    let inside: Vec<(&str, bool)> = placed
        .piece
        .directives
        .iter()
        .map(|directive| {
            (
                &text[directive.span.shifted(placed.base).range()],
                directive.own_line,
            )
        })
        .collect();
    assert_eq!(
        inside,
        [
            ("bellhand: ignore c/d", true),
            ("bellhand: ignore e/f: on purpose", false)
        ]
    );
    assert!(matches!(
        placed.piece.directives[0].kind,
        DirectiveKind::Ignore { .. }
    ));
}

/// What is told of the slips in a text: the place and the problem.
fn told(text: &str) -> Vec<(String, String)> {
    let document = Document::from_text(Format::Abc, text);
    let score = document.score();
    let tell = |slip: &Unreadable, base: usize| {
        assert!(!slip.expected.is_empty(), "{slip:?}");
        (
            text[slip.span.shifted(base).range()].to_owned(),
            slip.problem.clone(),
        )
    };
    let outside = score.unreadable.iter().map(|slip| tell(slip, 0));
    let inside = score.pieces.iter().flat_map(|placed| {
        placed
            .piece
            .unreadable
            .iter()
            .map(|slip| tell(slip, placed.base))
    });
    outside.chain(inside).collect()
}

#[test]
fn slips_in_fields_are_told_at_their_place() {
    for (field, place, part_of_problem) in [
        ("K:H", "K:H", "`H` says nothing in K:"),
        ("K:Ddr", "dr", "no mode and no clef"),
        ("K:C transpose=low", "low", "transpose=low"),
        ("K:C octave=up", "up", "octave=up"),
        ("M:FREE\nK:C", "FREE", "no meaning here"),
        ("M:0/4\nK:C", "M:0/4", "says nothing in M:"),
        ("L:x\nK:C", "x", "no meaning here"),
        ("Q:fast\nK:C", "fast", "no meaning here"),
        ("V:\nK:C", "V:", "names no voice"),
        ("Y:what\nK:C", "Y:what", "no field Y:"),
        (
            "I:propagate-accidentals far\nK:C",
            "far",
            "how far accidentals reach",
        ),
        (
            "%%propagate-accidentals far\nK:C",
            "far",
            "how far accidentals reach",
        ),
    ] {
        let slips = told(&format!("X:1\n{field}\nc4 |\n"));
        assert_eq!(slips.len(), 1, "{field}: {slips:?}");
        assert_eq!(slips[0].0, place, "{field}");
        assert!(slips[0].1.contains(part_of_problem), "{field}: {slips:?}");
    }
}

#[test]
fn slips_in_music_are_told_at_their_place() {
    for (music, place, part_of_problem) in [
        ("c \"^open d |", "\"^open d", "quote is not closed"),
        ("c [eg |", "[", "bracket is not closed"),
        ("c {eg |", "{", "grace notes are not closed"),
        ("c !f d |", "!", "no second !"),
        ("c ^ d |", "^", "before no note"),
        ("c # d |", "#", "means nothing"),
        ("c (1d |", "1", "no music"),
        ("c } d |", "}", "no music"),
        ("c -d |", "-", "tie holds no note"),
        (">c d |", ">", "no note before it"),
        ("c> |", "|", "no note after it"),
    ] {
        let slips = told(&format!("X:1\nK:C\n{music}\n"));
        assert_eq!(slips.len(), 1, "{music}: {slips:?}");
        assert_eq!(slips[0].0, place, "{music}");
        assert!(slips[0].1.contains(part_of_problem), "{music}: {slips:?}");
    }
}

#[test]
fn what_the_standard_lets_pass_is_not_told() {
    for music in [
        "c ! d |",
        "c !\nd |",
        "c | $ d |",
        "!ferryhorn! c |",
        "c2 y d |",
        "c`d [r: a remark] e |",
        "[K:C key:colour=blue clef=unheard] c |",
        "w: la la\nc |",
    ] {
        assert_eq!(told(&format!("X:1\nK:C\n{music}\n")), [], "{music}");
    }
    // A file may end its lines of print with a bare `!`, right before a note too.
    assert_eq!(told("I:linebreak !\n\nX:1\nK:C\nc |!d |\n"), []);
}

#[test]
fn the_rest_is_read_all_the_same() {
    let piece = piece("X:1\nM:4/4\nL:1/4\nK:C\nc \"^open d | e4 |\n");
    assert_eq!(super::pitches(&piece.parts[0]), "C5 E5");
    assert_eq!(piece.parts[0].bars.len(), 2);
}
