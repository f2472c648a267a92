//! Edits at random, for the tests of both grammars: a tree kept through them is the tree of the text as it now stands.

#![expect(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a test fails loudly, and shows what it counted"
)]

use tree_sitter::{InputEdit, Language, Parser, Point};

/// Where a byte stands.
pub(crate) fn point(text: &str, byte: usize) -> Point {
    let before = &text.as_bytes()[..byte];
    let row = before.iter().filter(|&&b| b == b'\n').count();
    let column = byte
        - before
            .iter()
            .rposition(|&b| b == b'\n')
            .map_or(0, |at| at + 1);
    Point { row, column }
}

/// Puts pieces into a text, one after another, and compares each tree with a fresh one.
pub(crate) fn agree_with_fresh_parses(language: &Language, start: &str, pieces: &[&str]) {
    let mut random = fastrand::Rng::with_seed(11);
    let mut parser = Parser::new();
    parser.set_language(language).unwrap();
    let (mut equal, mut broken) = (0, 0);
    for _ in 0..150 {
        let mut text = start.to_owned();
        let mut tree = parser.parse(&text, None).unwrap();
        for _ in 0..6 {
            let places: Vec<usize> = text.char_indices().map(|(at, _)| at).collect();
            let from = places[random.usize(..places.len())];
            let old_end = if random.bool() {
                from
            } else {
                from + text[from..].chars().next().unwrap().len_utf8()
            };
            let piece = pieces[random.usize(..pieces.len())];
            let (start_position, old_end_position) = (point(&text, from), point(&text, old_end));
            text.replace_range(from..old_end, piece);
            let new_end = from + piece.len();
            tree.edit(&InputEdit {
                start_byte: from,
                old_end_byte: old_end,
                new_end_byte: new_end,
                start_position,
                old_end_position,
                new_end_position: point(&text, new_end),
            });
            tree = parser.parse(&text, Some(&tree)).unwrap();
            let fresh = parser.parse(&text, None).unwrap();
            if fresh.root_node().has_error() {
                broken += 1;
                break;
            }
            assert_eq!(
                tree.root_node().to_sexp(),
                fresh.root_node().to_sexp(),
                "{text}"
            );
            equal += 1;
        }
    }
    println!("{equal} edits gave the fresh tree, {broken} runs ended at an error node");
    assert!(equal > 300);
}
