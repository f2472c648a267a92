//! The rules of reading ABC as a document meets them: encodings and line ends, and what meets in one bar.

use notation::{Document, Format};
use score::{AlterationFrom, EventKind, MarkKind, Note, Part, Sign};

fn document(text: &str) -> Document {
    Document::from_text(Format::Abc, text)
}

/// The first part of a tune in 4/4 with quarter notes as the unit.
fn part(music: &str) -> Part {
    let document = document(&format!("X:1\nM:4/4\nL:1/4\nK:none\n{music}\n"));
    document.score().pieces[0].piece.parts[0].clone()
}

fn notes(part: &Part) -> Vec<&Note> {
    part.events()
        .filter_map(|placed| match &placed.event.kind {
            EventKind::Note(note) => Some(note),
            _ => None,
        })
        .collect()
}

/// Each note's pitch and length, parted by spaces.
fn heard(part: &Part) -> String {
    let notes: Vec<String> = notes(part)
        .iter()
        .map(|note| format!("{}:{}", note.written, note.length))
        .collect();
    notes.join(" ")
}

/// The text each problem stands at, and the problem.
fn told(text: &str) -> Vec<(String, String)> {
    let document = document(text);
    let score = document.score();
    let outside = score.unreadable.iter().map(|slip| (slip, 0));
    let inside = score.pieces.iter().flat_map(|placed| {
        let slips = placed.piece.unreadable.iter();
        slips.map(|slip| (slip, placed.base))
    });
    outside
        .chain(inside)
        .map(|(slip, base)| {
            let place = slip.span.shifted(base).range();
            (text[place].to_owned(), slip.problem.clone())
        })
        .collect()
}

// Encodings and line ends ---------------------------------------------------------------------------------------------

#[test]
fn places_are_right_in_every_encoding_and_with_every_line_end() {
    let lines = ["%abc-2.1", "X:1", "T:Fähre", "K:C", "c2 ^g | # d4 |", ""];
    for end in ["\n", "\r\n", "\r"] {
        let text = lines.join(end);
        let latin: Vec<u8> = text.chars().map(|sign| sign as u8).collect();
        let marked = [b"\xEF\xBB\xBF".as_slice(), text.as_bytes()].concat();
        for bytes in [text.as_bytes(), &latin, &marked] {
            let document = Document::from_bytes(Format::Abc, bytes).unwrap();
            let read = document.text();
            let score = document.score();
            assert_eq!(score.pieces.len(), 1, "{end:?}");
            let placed = &score.pieces[0];
            let title = placed.piece.title.as_ref().unwrap();
            assert_eq!(&read[title.span.shifted(placed.base).range()], "Fähre");
            let part = &placed.piece.parts[0];
            assert_eq!(heard(part), "C5:1 G#5:1/2 D5:2", "{end:?}");
            let places: Vec<&str> = part
                .events()
                .map(|event| &read[event.span().shifted(placed.base).range()])
                .collect();
            assert_eq!(places, ["c2", "^g", "d4"], "{end:?}");
            let slip = placed.piece.unreadable[0].span.shifted(placed.base);
            assert_eq!(&read[slip.range()], "#");
            assert_eq!(bytes[document.file_offset(slip.start)], b'#');
            assert_eq!(document.to_bytes().unwrap(), bytes);
        }
    }
}

#[test]
fn an_empty_line_ends_a_tune_and_a_comment_does_not() {
    for (between, tunes, bars) in [
        ("", 1, 1),
        (" \t", 1, 1),
        ("% tide", 1, 2),
        ("  % tide", 1, 2),
    ] {
        let document = document(&format!("X:1\nM:4/4\nL:1/4\nK:C\nc4 |\n{between}\nd4 |\n"));
        let score = document.score();
        assert_eq!(score.pieces.len(), tunes, "{between:?}");
        assert_eq!(
            score.pieces[0].piece.parts[0].bars.len(),
            bars,
            "{between:?}"
        );
    }
}

// What meets in one bar -----------------------------------------------------------------------------------------------

#[test]
fn a_tie_passes_over_grace_notes_and_colours_none_of_them() {
    let part = part("^f4- | {f}f4 | f4 |");
    assert_eq!(heard(&part), "F#5:4 F5:0 F#5:4 F5:4");
    let read: Vec<_> = notes(&part)
        .iter()
        .map(|note| (note.tied_from, note.alteration_from))
        .collect();
    assert_eq!(
        read,
        [
            (false, AlterationFrom::Accidental),
            (false, AlterationFrom::Nothing),
            (true, AlterationFrom::Tie),
            (false, AlterationFrom::Nothing)
        ]
    );
}

#[test]
fn a_tie_and_a_key_change_at_one_barline() {
    assert_eq!(heard(&part("^f4- | [K:F] f2 f2 |")), "F#5:4 F#5:2 F5:2");
    assert_eq!(heard(&part("f4- | [K:G] f2 f2 |")), "F5:4 F5:2 F#5:2");
}

#[test]
fn voices_keep_their_accidentals_ties_and_tuplets_apart_line_by_line() {
    let text =
        "X:1\nM:4/4\nL:1/4\nK:none\nV:1\n^f2 (3:2:4 f f\nV:2\nf4- |\nV:1\nf f | f4 |\nV:2\nf4 |\n";
    let document = document(text);
    let parts = &document.score().pieces[0].piece.parts;
    assert_eq!(
        heard(&parts[0]),
        "F#5:2 F#5:2/3 F#5:2/3 F#5:2/3 F#5:2/3 F5:4"
    );
    assert_eq!(heard(&parts[1]), "F5:4 F5:4");
    assert!(notes(&parts[1])[1].tied_from);
}

#[test]
fn broken_rhythm_reaches_over_marks_grace_notes_words_and_line_ends() {
    for music in [
        "c>d",
        "c>.d",
        "c>!f!d",
        "c>\"^open\"d",
        "c>{e}d",
        "(c>d)",
        "c>ud",
        "c> \\\nd",
        "c-> d",
    ] {
        let part = part(music);
        let lengths: Vec<String> = notes(&part)
            .iter()
            .filter(|note| !note.grace)
            .map(|note| note.length.to_string())
            .collect();
        assert_eq!(lengths, ["3/2", "1/2"], "{music}");
    }
    assert_eq!(heard(&part("(3c>de f")), "C5:1 D5:1/3 E5:2/3 F5:1");
}

#[test]
fn tuplets_leave_out_grace_notes_and_take_their_defaults_from_the_metre() {
    assert_eq!(
        heard(&part("(3{g}c{g}d{g}e f")),
        "G5:0 C5:2/3 G5:0 D5:2/3 G5:0 E5:2/3 F5:1"
    );
    for (meter, tuplet, length) in [
        ("4/4", "(7", "2/7"),
        ("6/8", "(7", "3/7"),
        ("9/8", "(9", "1/3"),
        ("4/4", "(9", "2/9"),
        ("3/8", "(5", "2/5"),
        ("12/8", "(8", "3/8"),
        ("4/4", "(3::2", "2/3"),
        ("4/4", "(3:", "2/3"),
        ("4/4", "(3::", "2/3"),
    ] {
        let text = format!("X:1\nM:{meter}\nL:1/4\nK:C\n{tuplet}cccccccccc\n");
        let document = document(&text);
        let part = &document.score().pieces[0].piece.parts[0];
        let first = notes(part)[0].length.to_string();
        assert_eq!(first, length, "{meter} {tuplet}");
        let inside = notes(part)
            .iter()
            .filter(|note| note.length.to_string() == length)
            .count();
        let named = tuplet.trim_end_matches(':');
        assert_eq!(inside.to_string(), named[named.len() - 1..], "{tuplet}");
    }
}

#[test]
fn plus_signs_around_names_once_the_file_asks_for_them() {
    let document = document("I:decoration +\n\nX:1\nK:C\n+plus+c +f+d |\n");
    let part = &document.score().pieces[0].piece.parts[0];
    let marks: Vec<_> = part
        .events()
        .filter_map(|placed| match &placed.event.kind {
            EventKind::Mark(mark) => Some(mark.kind.clone()),
            _ => None,
        })
        .collect();
    assert_eq!(
        marks,
        [
            MarkKind::Sign(Sign::Plus),
            MarkKind::Dynamic("f".to_owned())
        ]
    );
}

// What is not followed ------------------------------------------------------------------------------------------------

#[test]
fn what_is_not_followed_is_told() {
    for (text, place, problem) in [
        ("X:1\nK:C\n+C2E2+ c |\n", "+C2E2+", "written long ago"),
        ("X:1\nK:C\nc4 | d4 && e4 |\n", "&&", "more than one bar"),
        (
            "X:1\nm:~g2={a}g2\nK:C\nc4 |\n",
            "m:~g2={a}g2",
            "changes the music",
        ),
        (
            "X:1\nK:C\nc4 |\ns:!+! *\n",
            "s:!+! *",
            "not put to their notes",
        ),
        (
            "X:1\nV:1 name=\"Horn\"\n+:transpose=-7\nK:C\nc4 |\n",
            "+:transpose=-7",
            "not read as part of V:",
        ),
        (
            "X:1\nK:C\n% tide\n+:transpose=-7\nc4 |\n",
            "+:transpose=-7",
            "not read as part of K:",
        ),
    ] {
        let slips = told(text);
        assert_eq!(slips.len(), 1, "{text}: {slips:?}");
        assert_eq!(slips[0].0, place, "{text}");
        assert!(slips[0].1.contains(problem), "{slips:?}");
    }
    assert_eq!(
        told("X:1\nT:The Long\n+:Ferry\nK:C\nc4 |\nw:la\n+:la\ns:* *\n"),
        []
    );
}

#[test]
fn bars_that_are_alike_are_kept_once() {
    let text = "X:1\nM:4/4\nL:1/8\nK:C\nc8 | ^c4 c4 | c8 |\nc8- | c8 | c8 |\n[L:1/4] z4 | c8 |\n";
    let document = document(text);
    let part = &document.score().pieces[0].piece.parts[0];
    let body = |bar: usize| &part.bars[bar].runs[0].body;
    let like_first: Vec<bool> = (0..part.bars.len())
        .map(|bar| std::sync::Arc::ptr_eq(body(0), body(bar)))
        .collect();
    // What an accidental, a tie or another unit length makes of the same text is another bar.
    assert_eq!(
        like_first,
        [true, false, true, false, false, true, false, false]
    );
    println!("8 bars, of which 3 are one");
}
