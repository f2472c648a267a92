//! Runs the corpus: each case's text must give just the tree written below it.

use crate::cases;

#[test]
fn every_case_gives_its_tree() {
    let mut parser = tree_sitter::Parser::new();
    parser.set_language(&grammar_abc::LANGUAGE.into()).unwrap();
    let cases = cases::all();
    for case in &cases {
        let parsed = parser.parse(&case.text, None).unwrap();
        assert_eq!(parsed.root_node().to_sexp(), case.tree, "{}", case.name);
    }
    println!("{} corpus cases compared", cases.len());
    assert!(cases.len() > 100);
}
