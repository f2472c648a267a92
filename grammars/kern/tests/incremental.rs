//! A tree kept through edits is the tree of the text as it now stands.

use tree_sitter::{InputEdit, Parser, Point};

const SCORE: &str = "!!!COM: Pier Band\n**kern\t**dynam\t**kern\n*I\"Corno in F\t*\t*Ioboe\n*k[b-]\t*\t*k[]\n=1\t=1\t=1\n\
    *^\t*\t*\n4c\t4e\tf\t4g 4b-\n.\t.\t<\t8r\n!\t!\t!LO:DY:a\t!LO:TX:a:t=+\n2.dd#X\\L(\t2r\t[ ff\t2.g_)\n*v\t*v\t*\t*\n\
    =2:|!\t=2:|!\t=2:|!\n*x\t*x\t*\nf\tf\tqqf\n*-\t*-\t*-\n!!!ONB: done\n";
const PIECES: [&str; 16] = [
    "\t", "c", "*", "\n", "=", "!", ".", " ", "[", "r", "*^", "-", "**text", "é", "4", "*v",
];

fn point(text: &str, byte: usize) -> Point {
    let before = &text.as_bytes()[..byte];
    let row = before.iter().filter(|&&b| b == b'\n').count();
    let column = byte
        - before
            .iter()
            .rposition(|&b| b == b'\n')
            .map_or(0, |at| at + 1);
    Point { row, column }
}

#[test]
fn edits_and_fresh_parses_agree() {
    let mut random = fastrand::Rng::with_seed(11);
    let mut parser = Parser::new();
    parser.set_language(&grammar_kern::LANGUAGE.into()).unwrap();
    let (mut equal, mut broken) = (0, 0);
    for _ in 0..150 {
        let mut text = SCORE.to_owned();
        let mut tree = parser.parse(&text, None).unwrap();
        for _ in 0..6 {
            let places: Vec<usize> = text.char_indices().map(|(at, _)| at).collect();
            let start = places[random.usize(..places.len())];
            let old_end = if random.bool() {
                start
            } else {
                start + text[start..].chars().next().unwrap().len_utf8()
            };
            let piece = PIECES[random.usize(..PIECES.len())];
            let (from, to) = (point(&text, start), point(&text, old_end));
            text.replace_range(start..old_end, piece);
            let new_end = start + piece.len();
            tree.edit(&InputEdit {
                start_byte: start,
                old_end_byte: old_end,
                new_end_byte: new_end,
                start_position: from,
                old_end_position: to,
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
