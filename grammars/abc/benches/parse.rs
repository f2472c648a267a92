//! How fast the grammar reads a tune, and how fast it follows a keystroke.
#![expect(clippy::unwrap_used, reason = "a benchmark fails by panicking")]

use std::fmt::Write as _;

use divan::{Bencher, counter::BytesCount};
use tree_sitter::{InputEdit, Parser, Point, Tree};

fn main() {
    divan::Divan::from_args()
        .max_time(std::time::Duration::from_secs(2))
        .main();
}

const HEADER: &str =
    "%abc-2.1\n\nX:1\nT:Ferry at Dawn\nM:4/4\nL:1/8\nQ:1/4=96\nK:none\nV:1 name=\"Horn in F\"\n";

/// One tune of about so many bytes, with what a horn part holds.
fn tune(bytes: usize) -> String {
    let mut text = HEADER.to_owned();
    let mut line = 0;
    while text.len() < bytes {
        line += 1;
        text.push_str(match line % 4 {
            0 => "!+!c2 e2 g2 c'2 | \"^open\"(3def g>a [ce]4- | {/d}e8 |: C,4 z4 :|\n",
            1 => "^F2 _B2 (c d e f) | .c.d.e.f !p!g4 |1 Z :|2 e8 |]\n",
            2 => "\"Am\"A4 c4 | \"^con sord.\"!f!e2-e2 =f4 | [K:G] d'4 b2 a2 | g8 ||\n",
            _ => "c2 d2 e2 f2 | g4 e4 | G,2 C2 E2 G2 | c8 |\n",
        });
        if line % 8 == 0 {
            writeln!(text, "% line {line}").unwrap();
        }
    }
    text
}

/// A header that holds a block which nothing closes, so that its end is looked for to the end of the file.
fn tune_left_open(bytes: usize) -> String {
    tune(bytes).replacen("T:", "%%begintext\nT:", 1)
}

fn parser() -> Parser {
    let mut parser = Parser::new();
    parser.set_language(&grammar_abc::LANGUAGE.into()).unwrap();
    parser
}

#[divan::bench(args = [10_000, 100_000, 1_000_000])]
fn full(bencher: Bencher, bytes: usize) {
    let text = tune(bytes);
    let mut parser = parser();
    bencher
        .counter(BytesCount::of_str(&text))
        .bench_local(|| parser.parse(&text, None).unwrap());
}

/// Thousands of blocks that nothing closes.
#[divan::bench(args = [100_000, 1_000_000])]
fn full_of_open_blocks(bencher: Bencher, bytes: usize) {
    let text = HEADER.to_owned() + &"%%begintext\nc2 d2 |\n".repeat(bytes / 20);
    let mut parser = parser();
    bencher
        .counter(BytesCount::of_str(&text))
        .bench_local(|| parser.parse(&text, None).unwrap());
}

/// Types a note in the middle and takes it out again; the time is that of both edits.
fn type_and_untype(bencher: Bencher, text: String) {
    let mut parser = parser();
    let mut tree = parser.parse(&text, None).unwrap();
    let middle = text.len() / 2;
    let at = middle + text[middle..].find(" | ").unwrap();
    let row = text[..at].matches('\n').count();
    let column = at - text[..at].rfind('\n').map_or(0, |end| end + 1);
    let (short, mut long) = (text.clone(), text);
    long.insert(at, 'c');
    let edit = |tree: &mut Tree, removed: usize, added: usize| {
        tree.edit(&InputEdit {
            start_byte: at,
            old_end_byte: at + removed,
            new_end_byte: at + added,
            start_position: Point { row, column },
            old_end_position: Point {
                row,
                column: column + removed,
            },
            new_end_position: Point {
                row,
                column: column + added,
            },
        });
    };
    bencher.bench_local(|| {
        edit(&mut tree, 0, 1);
        tree = parser.parse(&long, Some(&tree)).unwrap();
        edit(&mut tree, 1, 0);
        tree = parser.parse(&short, Some(&tree)).unwrap();
    });
}

#[divan::bench(args = [10_000, 100_000, 1_000_000])]
fn two_keystrokes(bencher: Bencher, bytes: usize) {
    type_and_untype(bencher, tune(bytes));
}

#[divan::bench(args = [10_000, 100_000, 1_000_000])]
fn two_keystrokes_below_an_open_block(bencher: Bencher, bytes: usize) {
    type_and_untype(bencher, tune_left_open(bytes));
}
