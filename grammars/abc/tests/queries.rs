//! The queries compile against the grammar, and what they promise to catch they catch.
#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeSet;

use tree_sitter::{Parser, Query, QueryCursor, StreamingIterator};

const TUNE: &str = "%abc-2.1\nL:1/8\n\nX:1\nT:Pier Lanterns\nM:3/4\nQ:1/4=96\nK:Ddor\n%%staffwidth 18cm\n\
    V:1 name=\"Horn in F\"\n\"Am\"!p!^F,2 z2 c'- | [K:none] [1 c'6 :| Z2 % tacet\n$\"^con sord.\" +x+ a2 \u{a7} |]\n";

fn captures(query: &str) -> BTreeSet<String> {
    let language = grammar_abc::LANGUAGE.into();
    let query = Query::new(&language, query).unwrap();
    let mut parser = Parser::new();
    parser.set_language(&language).unwrap();
    let tree = parser.parse(TUNE, None).unwrap();
    let mut cursor = QueryCursor::new();
    let mut found = BTreeSet::new();
    let mut matches = cursor.matches(&query, tree.root_node(), TUNE.as_bytes());
    while let Some(hit) = matches.next() {
        found.extend(hit.captures().iter().map(|c| {
            format!(
                "{} {}",
                query.capture_names()[c.index as usize],
                c.node.kind()
            )
        }));
    }
    found
}

#[test]
fn every_highlight_pattern_hits() {
    let found = captures(grammar_abc::HIGHLIGHTS_QUERY);
    let patterns = grammar_abc::HIGHLIGHTS_QUERY
        .lines()
        .filter(|line| line.starts_with('('))
        .count();
    println!("{} of {patterns} highlight patterns hit", found.len());
    assert_eq!(found.len(), patterns, "{found:#?}");
}

#[test]
fn tunes_and_headers_fold() {
    let found = captures(grammar_abc::FOLDS_QUERY);
    for kind in ["tune", "tune_header", "file_header"] {
        assert!(found.contains(&format!("fold {kind}")), "{kind}");
    }
}
