//! A tree kept through edits is the tree of the text as it now stands.

#[path = "../../edits.rs"]
mod edits;

use std::sync::{
    Arc,
    atomic::{AtomicUsize, Ordering},
};

use edits::point;
use tree_sitter::{InputEdit, Parser};

const TUNE: &str = "%abc-2.1\n\nX:1\nT:Ferry at Dawn\nM:4/4\nL:1/8\nK:none\nV:1 name=\"Horn in F\"\n\
    !+!c2 e2 g2 c'2 | \"^open\"(3def g>a [ce]4- | {/d}e8 |: C,4 z4 :|\nw:row the boat\n\n%%begintext\nLow tide.\n%%endtext\n\nX:2\nK:G\nG4 A4 |]\n";
const PIECES: [&str; 24] = [
    "|",
    "c",
    "'",
    "\n",
    "[",
    "]",
    "\"",
    "!",
    "{",
    "}",
    "%",
    " ",
    "(3",
    "K:",
    "é",
    "2",
    ":",
    "\r",
    "+",
    "(3::2",
    "[V:2]",
    "[K:",
    "\n%%begintext\n",
    "\n%%endtext\n",
];

#[test]
fn edits_and_fresh_parses_agree() {
    edits::agree_with_fresh_parses(&grammar_abc::LANGUAGE.into(), TUNE, &PIECES);
}

/// Every step of the parser is told to a logger; those that read a token say so.
#[test]
fn a_keystroke_reads_its_own_line_again_and_no_other() {
    let mut text = String::from("X:1\nK:C\n");
    // Whatever a line begins with, it is taken over whole.
    let starts = [
        "c2",
        "z2",
        "|: c",
        "[1 c",
        "|",
        "[ce]2",
        "(3abc",
        "{g}c",
        "!p!c",
        ".c",
        "\"Am\"c",
        "\"^open\"c",
        "(c",
        "[V:1]c",
        "+trill+c",
        "^c",
        "y",
        "Z |",
        "&",
        "$",
    ];
    for start in starts.iter().cycle().take(2_000) {
        text.push_str(start);
        text.push_str(" (d2 e2) f2 | \"^open\"g4 [ce]4 | (3abc z6 |\nw:row the boat\n");
    }
    let mut parser = Parser::new();
    parser.set_language(&grammar_abc::LANGUAGE.into()).unwrap();
    let mut tree = parser.parse(&text, None).unwrap();
    let middle = text.len() / 2;
    let at = middle + text[middle..].find('|').unwrap();
    text.insert(at, 'c');
    tree.edit(&InputEdit {
        start_byte: at,
        old_end_byte: at,
        new_end_byte: at + 1,
        start_position: point(&text, at),
        old_end_position: point(&text, at),
        new_end_position: point(&text, at + 1),
    });
    let tokens = Arc::new(AtomicUsize::new(0));
    let counted = Arc::clone(&tokens);
    parser.set_logger(Some(Box::new(move |_, message| {
        if message.starts_with("lexed_lookahead") {
            counted.fetch_add(1, Ordering::Relaxed);
        }
    })));
    parser.parse(&text, Some(&tree)).unwrap();
    let tokens = tokens.load(Ordering::Relaxed);
    println!("{tokens} tokens read again");
    assert!((1..60).contains(&tokens), "{tokens}");
}
