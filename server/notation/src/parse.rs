//! Parsing a rope with a tree-sitter grammar.

use ropey::Rope;
use tree_sitter::{Language, Parser, Point, Tree};

/// Parses a rope, starting from the tree of before when there is one.
#[expect(
    clippy::expect_used,
    reason = "no text makes these fail: the grammar is linked in and nothing cancels the parser"
)]
pub(crate) fn parse(language: &Language, rope: &Rope, old: Option<&Tree>) -> Tree {
    let mut parser = Parser::new();
    parser
        .set_language(language)
        .expect("the linked grammar fits the linked parser");
    let mut chunk = |byte: usize, _: Point| -> &[u8] {
        if byte >= rope.len_bytes() {
            return &[];
        }
        let (chunk, start, _, _) = rope.chunk_at_byte(byte);
        &chunk.as_bytes()[byte - start..]
    };
    parser
        .parse_with_options(&mut chunk, old, None)
        .expect("a parser with a language and no deadline always gives a tree")
}
