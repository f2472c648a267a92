//! The queries compile against the grammar, and what they promise to catch they catch.

use std::{collections::BTreeSet, ops::Range};

use tree_sitter::{Node, Parser, Query, QueryCursor, StreamingIterator, Tree};

use crate::cases;

/// What a query caught in one text: the pattern, the node's kind and its bytes.
struct Caught {
    pattern: usize,
    kind: String,
    bytes: Range<usize>,
}

fn parse(text: &str) -> Tree {
    let mut parser = Parser::new();
    parser.set_language(&grammar_abc::LANGUAGE.into()).unwrap();
    parser.parse(text, None).unwrap()
}

fn caught(query: &Query, tree: &Tree, text: &str) -> Vec<Caught> {
    let mut cursor = QueryCursor::new();
    let mut found = Vec::new();
    let mut matches = cursor.matches(query, tree.root_node(), text.as_bytes());
    while let Some(hit) = matches.next() {
        found.extend(hit.captures().iter().map(|capture| Caught {
            pattern: hit.pattern_index,
            kind: capture.node.kind().to_owned(),
            bytes: capture.node.byte_range(),
        }));
    }
    found
}

fn leaves<'tree>(node: Node<'tree>, found: &mut Vec<Node<'tree>>) {
    if node.is_named() && node.named_child_count() == 0 {
        found.push(node);
    }
    let mut cursor = node.walk();
    for child in node.children(&mut cursor) {
        leaves(child, found);
    }
}

#[test]
fn every_highlight_pattern_hits_and_stays_in_its_line() {
    let query = Query::new(&grammar_abc::LANGUAGE.into(), grammar_abc::HIGHLIGHTS_QUERY).unwrap();
    let mut hit = BTreeSet::new();
    for case in cases::all() {
        for capture in caught(&query, &parse(&case.text), &case.text) {
            let words = &case.text[capture.bytes];
            assert!(!words.contains(['\n', '\r']), "{}: {words:?}", case.name);
            hit.insert(capture.pattern);
        }
    }
    let missed: Vec<&str> = (0..query.pattern_count())
        .filter(|pattern| !hit.contains(pattern))
        .map(|pattern| &grammar_abc::HIGHLIGHTS_QUERY[query.start_byte_for_pattern(pattern)..])
        .map(|rest| rest.lines().next().unwrap())
        .collect();
    println!("{} highlight patterns hit", hit.len());
    assert_eq!(missed, Vec::<&str>::new());
}

#[test]
fn every_leaf_has_a_colour() {
    let query = Query::new(&grammar_abc::LANGUAGE.into(), grammar_abc::HIGHLIGHTS_QUERY).unwrap();
    let mut plain = BTreeSet::new();
    for case in cases::all() {
        let tree = parse(&case.text);
        let captures = caught(&query, &tree, &case.text);
        let mut found = Vec::new();
        leaves(tree.root_node(), &mut found);
        plain.extend(
            found
                .iter()
                .filter(|leaf| {
                    !captures.iter().any(|capture| {
                        capture.bytes.start <= leaf.start_byte()
                            && leaf.end_byte() <= capture.bytes.end
                    })
                })
                .map(|leaf| leaf.kind().to_owned()),
        );
    }
    // A text of nothing, and lines that hold nothing but their name.
    plain.retain(|kind| !matches!(kind.as_str(), "source_file" | "version_line"));
    assert_eq!(plain, BTreeSet::<String>::new());
}

#[test]
fn tunes_headers_bodies_and_text_fold() {
    let query = Query::new(&grammar_abc::LANGUAGE.into(), grammar_abc::FOLDS_QUERY).unwrap();
    let mut folded = BTreeSet::new();
    for case in cases::all() {
        for capture in caught(&query, &parse(&case.text), &case.text) {
            folded.insert(capture.kind);
        }
    }
    let kinds = [
        "directive_block",
        "file_header",
        "free_text",
        "tune",
        "tune_body",
        "tune_header",
    ];
    assert_eq!(folded, BTreeSet::from(kinds.map(str::to_owned)));
}
