//! The queries compile against the grammar, and what they promise to catch they catch.
#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeSet;

use tree_sitter::{Parser, Query, QueryCursor, StreamingIterator};

const TUNE: &str = "!!!COM: Pier Band\n!! low water\n**kern\t**dynam\t**text\n*I\"Corno in F\t*\t*\n*Icor\t*\t*\n\
    *ITrd4c7\t*\t*\n*k[b-]\t*\t*\n*F:\t*\t*\n*clefG2\t*\t*\n*M3/4\t*\t*\n*MM96\t*\t*\n*>A\t*\t*\n*part1\t*\t*\n=1\t=1\t=1\n\
    !LO:TX:a:t=open\t!\t!note\n*^\t*\t*\n[2.f#'\t4r\tp <\tfer-\n4f]\t.\t[\t-ry\n*v\t*v\t*\t*\n*x\t*x\t*\n( f\tT4c;_\u{a7}\ttide\n\
    *x\t*x\t*\n*+\t*\t*\n*\t**text\t*\t*\n*-\t*-\t*-\t*-\n";

fn captures(query: &str) -> BTreeSet<String> {
    let language = grammar_kern::LANGUAGE.into();
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
    let found = captures(grammar_kern::HIGHLIGHTS_QUERY);
    let patterns = grammar_kern::HIGHLIGHTS_QUERY
        .lines()
        .filter(|line| line.starts_with('('))
        .count();
    println!("{} of {patterns} highlight patterns hit", found.len());
    assert_eq!(found.len(), patterns, "{found:#?}");
}

#[test]
fn bars_and_records_fold() {
    let found = captures(grammar_kern::FOLDS_QUERY);
    for kind in ["measure", "reference_records"] {
        assert!(found.contains(&format!("fold {kind}")), "{kind}");
    }
}
