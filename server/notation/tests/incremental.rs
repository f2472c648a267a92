//! Reading again after an edit: the outcome is a fresh reading's, and what the edit left alone is not read twice.
#![expect(
    clippy::unwrap_used,
    reason = "test helpers fail loudly on what the invented tunes do not hold"
)]

use std::sync::Arc;

use fastrand::Rng;
use notation::{Document, Format, TextEdit};
use score::{EventKind, Piece, RunBody, Span};

const EDITS: usize = 400;

/// Three tunes for a wind band on a ferry pier, with a file header, two voices and most of what ABC has.
const BOOK: &str = "%abc-2.1
L:1/8
U: p = \"^+\"
% bellhand: ignore in file range/too-high

X:1
T:The First Ferry
C:A deckhand
M:4/4
Q:\"Andante\" 1/4=84
K:G
V:1 name=\"Horn in F 1\" transpose=-7
V:2 name=\"Horn in E flat\" transpose=-9
[V:1] f2 g2 ^c2 c2 | !f! (3def [ceg]2- [ceg]2 z2 | {ab}c>d e<f g4 | Z2 |
% bellhand: ignore rip/too-few
[V:2] B,2 D2 \"^con sord.\" G4 | =F2 F2 pD2 D2 | G8 & D4 B,4 | Z2 |]

some words between the tunes

X:2
T:Fog Signal
M:3/4
K:F clef=treble
|: ^f2 f2- f2 | f2 (e2 d2) | !<(! c2 d2 !<)! e2 | [K:Bb] e2 e2 [M:2/4] e2 | f4 :|
w: la la
P:B
|1 [L:1/4] c2 | d2 :|2 !fermata! c2 |]

X:3
T:Tied Up
M:C|
K:none
z4 C4- | C4 x4 | [I:propagate-accidentals octave] ^c2 c'2 c4 |
";

/// Things a hand may type, or break, anywhere.
const TYPED: [&str; 40] = [
    "c",
    "^f",
    "_B,",
    "=",
    "2",
    "/",
    "-",
    ">",
    "(",
    ")",
    "(3",
    "[",
    "]",
    "{",
    "}",
    "|",
    ":|",
    "|:",
    "|]",
    "&",
    "z4",
    "Z3",
    "\"",
    "\"^open\"",
    "!",
    "!f!",
    "!+!",
    "%",
    "\n",
    "\n\n",
    "\r\n",
    "K:D\n",
    "[K:Eb]",
    "[V:2]",
    "V:2\n",
    "X:9\nK:C\n",
    "L:1/16\n",
    "é",
    "♭",
    "\n% bellhand: ignore a/b\n",
];

fn fresh(document: &Document) -> Document {
    Document::from_text(Format::Abc, &document.text())
}

fn assert_as_fresh(document: &Document, what: &str) {
    let (kept, read) = (document.score(), fresh(document));
    let read = read.score();
    let text = document.text();
    assert_eq!(kept.directives, read.directives, "{what} in\n{text}");
    assert_eq!(kept.unreadable, read.unreadable, "{what} in\n{text}");
    let bases = |score: &score::Score| -> Vec<usize> {
        score.pieces.iter().map(|placed| placed.base).collect()
    };
    assert_eq!(bases(kept), bases(read), "{what} in\n{text}");
    for (kept, read) in kept.pieces.iter().zip(&read.pieces) {
        assert_eq!(kept.piece, read.piece, "{what} in\n{text}");
    }
}

/// A stretch of text to edit, often short, anywhere at all, even within a character.
fn stretch(rng: &mut Rng, length: usize) -> Span {
    let start = rng.usize(..=length);
    let most = if rng.u8(..20) == 0 { 120 } else { 3 };
    Span::new(start, start + rng.usize(..=most))
}

fn wander(seed: u64) {
    let mut rng = Rng::with_seed(seed);
    let mut document = Document::from_text(Format::Abc, BOOK);
    for turn in 0..EDITS {
        if turn % 60 == 59 {
            // Begin again, so that the text never becomes mere rubble.
            let length = document.rope().len_bytes();
            document.edit(Span::new(0, length), BOOK);
        }
        let mut told = format!("seed {seed}, edit {turn}:");
        for _ in 0..rng.usize(1..=2) {
            let span = stretch(&mut rng, document.rope().len_bytes());
            let typed = if rng.u8(..3) == 0 {
                ""
            } else {
                TYPED[rng.usize(..TYPED.len())]
            };
            told.push_str(&format!(" {span:?} {typed:?}"));
            document.edit(span, typed);
        }
        document.reread();
        assert_as_fresh(&document, &told);
    }
}

#[test]
fn any_edit_gives_what_a_fresh_reading_gives() {
    wander(1);
}

#[test]
fn every_place_can_be_cut_and_put_back() {
    let mut document = Document::from_text(Format::Abc, BOOK);
    let whole = Arc::clone(document.score());
    for start in (0..BOOK.len()).step_by(7) {
        let cut = BOOK.get(start..start + 1).unwrap();
        document.edit(Span::new(start, start + 1), "");
        document.reread();
        assert_as_fresh(&document, "cut");
        document.edit(Span::new(start, start), cut);
        document.reread();
        for (kept, read) in document.score().pieces.iter().zip(&whole.pieces) {
            assert_eq!(kept.base, read.base);
            assert_eq!(kept.piece, read.piece);
        }
    }
}

// What is kept --------------------------------------------------------------------------------------------------------

fn after(before: &str) -> usize {
    BOOK.find(before).unwrap() + before.len()
}

fn typed(at: usize, text: &str) -> (Document, Document) {
    let before = Document::from_text(Format::Abc, BOOK);
    let mut document = before.clone();
    document.edit(Span::new(at, at), text);
    document.reread();
    assert_as_fresh(&document, text);
    (before, document)
}

fn piece(document: &Document, index: usize) -> &Arc<Piece> {
    &document.score().pieces[index].piece
}

fn body(document: &Document, piece_index: usize, part: usize, bar: usize) -> &Arc<RunBody> {
    &piece(document, piece_index).parts[part].bars[bar]
        .runs
        .first()
        .unwrap()
        .body
}

#[test]
fn the_other_tunes_are_kept() {
    let (before, document) = typed(after("|: ^f2"), "'");
    assert!(Arc::ptr_eq(piece(&before, 0), piece(&document, 0)));
    assert!(!Arc::ptr_eq(piece(&before, 1), piece(&document, 1)));
    assert!(Arc::ptr_eq(piece(&before, 2), piece(&document, 2)));
    assert_eq!(
        document.score().pieces[2].base,
        before.score().pieces[2].base + 1
    );
}

#[test]
fn words_between_tunes_and_comments_in_the_file_header_cost_no_tune() {
    for place in ["some words", "% bellhand: ignore in file range/too-high"] {
        let (before, document) = typed(after(place), ", range/too-low");
        for index in 0..3 {
            assert!(
                Arc::ptr_eq(piece(&before, index), piece(&document, index)),
                "{place}, tune {index}"
            );
        }
    }
}

#[test]
fn what_the_file_header_sets_is_read_into_every_tune() {
    let (before, document) = typed(after("L:1/8"), "0");
    for index in 0..3 {
        assert!(
            !Arc::ptr_eq(piece(&before, index), piece(&document, index)),
            "tune {index}"
        );
    }
}

#[test]
fn the_other_bars_are_kept() {
    // The fifth bar of the second tune, whose own text and state are alone in the tune.
    let (before, document) = typed(after("[M:2/4] e2 | f"), "'");
    for bar in 0..4 {
        assert!(
            Arc::ptr_eq(body(&before, 1, 0, bar), body(&document, 1, 0, bar)),
            "bar {bar}"
        );
    }
    assert!(!Arc::ptr_eq(
        body(&before, 1, 0, 4),
        body(&document, 1, 0, 4)
    ));
    for bar in 5..8 {
        assert!(
            Arc::ptr_eq(body(&before, 1, 0, bar), body(&document, 1, 0, bar)),
            "bar {bar}"
        );
    }
}

#[test]
fn bars_after_a_change_that_reaches_them_are_read_anew() {
    // The file's own key change turns the notes after it, whose text stays.
    let (before, document) = typed(after("[K:Bb"), "m");
    assert!(Arc::ptr_eq(
        body(&before, 1, 0, 2),
        body(&document, 1, 0, 2)
    ));
    assert!(!Arc::ptr_eq(
        body(&before, 1, 0, 4),
        body(&document, 1, 0, 4)
    ));
}

#[test]
fn the_other_voice_is_kept() {
    let (before, document) = typed(after("{ab}c>d e<f g4"), " ");
    for bar in 0..3 {
        assert!(
            Arc::ptr_eq(body(&before, 0, 1, bar), body(&document, 0, 1, bar)),
            "bar {bar}"
        );
    }
}

// Documents -----------------------------------------------------------------------------------------------------------

#[test]
fn a_batch_counts_in_the_text_before_it() {
    let document = Document::from_text(Format::Abc, "X:1\nK:C\ncdef|\n");
    let edit = |start, end, text: &str| TextEdit {
        span: Span::new(start, end),
        text: text.to_owned(),
    };
    let edited = document
        .with_edits(&[
            edit(11, 12, "G,"),
            edit(8, 9, "^c"),
            edit(10, 10, "z"),
            edit(10, 10, "x"),
        ])
        .unwrap();
    assert_eq!(edited.text(), "X:1\nK:C\n^cdzxeG,|\n");
    assert_as_fresh(&edited, "a batch");
    assert_eq!(document.text(), "X:1\nK:C\ncdef|\n");
    let overlap = document
        .with_edits(&[edit(8, 10, ""), edit(9, 11, "")])
        .unwrap_err();
    assert_eq!(
        (overlap.first, overlap.second),
        (Span::new(8, 10), Span::new(9, 11))
    );
}

#[test]
fn edits_outside_the_text_or_within_a_character_do_no_harm() {
    let mut document = Document::from_text(Format::Abc, "X:1\nT:Fähre\nK:C\nc|\n");
    let accent = document.text().find('ä').unwrap();
    document.edit(Span::new(accent + 1, accent + 1), "e");
    document.edit(Span::new(900, 1_000), "d|\n");
    document.edit(Span::new(7, 2), "");
    document.reread();
    assert_eq!(document.text(), "X:1\nT:Fehre\nK:C\nc|\nd|\n");
    assert_as_fresh(&document, "clamped edits");
}

#[test]
fn bytes_go_back_as_they_came() {
    for bytes in [
        b"\xEF\xBB\xBFX:1\r\nT:F\xC3\xA4hre\r\nK:C\r\nc|\r\n".as_slice(),
        b"%abc-2.1\n%%abc-charset iso-8859-1\nX:1\nT:F\xE4hre\nK:C\nc|\n",
        b"X:1\rK:C\rc|\r",
    ] {
        let mut document = Document::from_bytes(Format::Abc, bytes).unwrap();
        assert_eq!(document.to_bytes().unwrap(), bytes);
        let note = document.text().rfind('c').unwrap();
        assert_eq!(bytes[document.file_offset(note)], b'c');
        document.edit(Span::new(note, note), "d");
        document.reread();
        assert_eq!(document.to_bytes().unwrap().len(), bytes.len() + 1);
        let notes = piece(&document, 0).parts[0]
            .events()
            .filter(|placed| matches!(placed.event.kind, EventKind::Note(_)))
            .count();
        assert_eq!(notes, 2);
    }
    let mut document = Document::from_bytes(Format::Abc, b"T:F\xE4hre\n").unwrap();
    document.edit(Span::new(2, 2), "♭");
    assert!(document.to_bytes().unwrap_err().to_string().contains('♭'));
}
