//! A text that is edited reads as the same text read anew, and no more is read again than was changed.

use std::sync::Arc;

use notation::Document;
use score::{Score, Span};

use crate::{doc, maker::Maker};

fn same(one: &Score, other: &Score, text: &str) {
    assert_eq!(one.directives, other.directives, "{text}");
    assert_eq!(one.unreadable, other.unreadable, "{text}");
    assert_eq!(one.pieces.len(), other.pieces.len(), "{text}");
    for (one, other) in one.pieces.iter().zip(&other.pieces) {
        assert_eq!(one.piece, other.piece, "{text}");
    }
}

/// What people type, finished or not.
const TYPED: [&str; 22] = [
    "<",
    ">",
    "/",
    "\"",
    "<!--",
    "-->",
    "<note>",
    "</note>",
    "</measure>",
    "<measure number=\"9\">",
    "<part id=\"P1\">",
    "</part>",
    "&",
    "<alter>1</alter>",
    "x",
    "<![CDATA[",
    "]]>",
    "\n",
    "<!-- bellhand: ignore range/too-high -->",
    "<attributes><divisions>12</divisions></attributes>",
    "<?",
    "é",
];

#[test]
fn an_edited_text_reads_as_a_new_one() {
    let mut edits = 0;
    for seed in 0..60 {
        let (text, mut rng) = Maker::score(seed);
        let mut document = doc(&text);
        for _ in 0..20 {
            let length = document.rope().len_bytes();
            for _ in 0..rng.usize(1..3) {
                let start = rng.usize(0..=length);
                let end = if rng.bool() {
                    start
                } else {
                    start + rng.usize(0..12)
                };
                let typed = TYPED[rng.usize(0..TYPED.len())];
                let typed = if rng.u8(0..3) == 0 { "" } else { typed };
                document.edit(Span::new(start, end), typed);
                edits += 1;
            }
            document.reread();
            let text = document.text();
            same(document.score(), doc(&text).score(), &text);
        }
    }
    println!("incremental: {edits} edits");
    assert_eq!(edits, 1_799);
}

fn bodies(document: &Document) -> Vec<Arc<score::RunBody>> {
    let parts = &document.score().pieces[0].piece.parts;
    parts
        .iter()
        .flat_map(|part| &part.bars)
        .flat_map(|bar| &bar.runs)
        .map(|run| Arc::clone(&run.body))
        .collect()
}

#[test]
fn a_keystroke_costs_a_measure() {
    for seed in 0..40 {
        let (text, mut rng) = Maker::score(seed);
        let mut document = doc(&text);
        let before = bodies(&document);
        let octaves: Vec<usize> = text
            .match_indices("<octave>")
            .map(|(at, _)| at + 8)
            .collect();
        let at = octaves[rng.usize(0..octaves.len())];
        document.edit(Span::new(at, at + 1), "2");
        document.reread();
        let after = bodies(&document);
        let read_again = before
            .iter()
            .zip(&after)
            .filter(|(one, other)| !Arc::ptr_eq(one, other))
            .count();
        assert_eq!((before.len(), read_again), (after.len(), 1));
        // Even a measure more leaves all others as they were.
        let first = document.text().find("</measure>").unwrap();
        document.edit(Span::new(first, first), "<!-- a -->");
        document.edit(Span::new(0, 0), " ");
        document.reread();
        let kept = bodies(&document)
            .iter()
            .filter(|body| after.iter().any(|before| Arc::ptr_eq(before, body)))
            .count();
        assert!(kept + 1 >= after.len(), "{kept} of {}", after.len());
    }
}
