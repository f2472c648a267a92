//! Runs the corpus: each case's text must give just the tree written below it.

use std::{fs, path::Path};

fn squeezed(tree: &str) -> String {
    tree.split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
        .replace(" )", ")")
}

#[test]
fn every_case_gives_its_tree() {
    let mut parser = tree_sitter::Parser::new();
    parser.set_language(&grammar_kern::LANGUAGE.into()).unwrap();
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("test/corpus");
    let mut cases = 0;
    for file in fs::read_dir(folder).unwrap() {
        let corpus = fs::read_to_string(file.unwrap().path()).unwrap();
        let mut parts = corpus.split("==================\n").skip(1);
        while let (Some(name), Some(case)) = (parts.next(), parts.next()) {
            let (text, tree) = case.split_once("\n---\n").unwrap();
            let parsed = parser.parse(text, None).unwrap().root_node().to_sexp();
            assert_eq!(parsed, squeezed(tree), "{name}");
            cases += 1;
        }
    }
    println!("{cases} corpus cases compared");
    assert!(cases > 0);
}
