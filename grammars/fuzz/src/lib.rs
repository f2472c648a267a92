//! A text read, edited, read again and read anew, as the fuzzer wishes.

use std::cell::RefCell;

use tree_sitter::{InputEdit, Language, Parser, Point};

thread_local! {
    static PARSER: RefCell<Option<Parser>> = const { RefCell::new(None) };
}

/// Reads the bytes; then part of them is taken out and another part put in its place, and what is read of that again must be
/// what is read of it anew.
///
/// # Panics
///
/// Where the two differ.
pub fn once(language: &Language, bytes: &[u8]) {
    PARSER.with_borrow_mut(|parser| {
        let parser = parser.get_or_insert_with(|| {
            let mut parser = Parser::new();
            parser
                .set_language(language)
                .expect("the grammar fits the runtime");
            parser
        });
        let mut old = parser.parse(bytes, None).expect("nobody stops it");
        let (start, cut, from, length) = places(bytes);
        let new = [
            &bytes[..start],
            &bytes[from..from + length],
            &bytes[start + cut..],
        ]
        .concat();
        old.edit(&InputEdit {
            start_byte: start,
            old_end_byte: start + cut,
            new_end_byte: start + length,
            start_position: point(bytes, start),
            old_end_position: point(bytes, start + cut),
            new_end_position: point(&new, start + length),
        });
        let again = parser.parse(&new, Some(&old)).expect("nobody stops it");
        let anew = parser.parse(&new, None).expect("nobody stops it");
        // What an edit within a character leaves is left open.
        if new.is_ascii() {
            let (again, anew) = (again.root_node().to_sexp(), anew.root_node().to_sexp());
            assert_eq!(again, anew, "{:?}", String::from_utf8_lossy(&new));
        }
    });
}

/// Where to cut, how much, and where what is put there begins and how long it is: as good as random, and always the same of the
/// same bytes.
fn places(bytes: &[u8]) -> (usize, usize, usize, usize) {
    // FNV-1a, then a step of xorshift for each number.
    let mut state = bytes.iter().fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| {
        (hash ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3)
    });
    let mut draw = |below: usize| {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        (state >> 16) as usize % (below + 1)
    };
    let start = draw(bytes.len());
    let cut = draw((bytes.len() - start).min(20));
    let from = draw(bytes.len());
    (start, cut, from, draw((bytes.len() - from).min(20)))
}

fn point(bytes: &[u8], at: usize) -> Point {
    let before = &bytes[..at];
    let row = before.iter().filter(|byte| **byte == b'\n').count();
    let line = before
        .rsplit(|byte| *byte == b'\n')
        .next()
        .unwrap_or_default();
    Point::new(row, line.len())
}
