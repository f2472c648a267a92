//! Every real score parses without an error, each cell by the kind of its spine.

use std::path::Path;

use tree_sitter::{Node, Parser};

fn first_error(node: Node<'_>) -> Option<Node<'_>> {
    if node.is_error() || node.is_missing() {
        return Some(node);
    }
    let mut cursor = node.walk();
    node.children(&mut cursor)
        .filter(Node::has_error)
        .find_map(first_error)
}

/// How many nodes of each of these kinds a tree holds.
fn count(root: Node<'_>, kinds: &[&str]) -> Vec<usize> {
    let mut counts = vec![0; kinds.len()];
    let mut cursor = root.walk();
    loop {
        if let Some(place) = kinds.iter().position(|kind| *kind == cursor.node().kind()) {
            counts[place] += 1;
        }
        if cursor.goto_first_child() {
            continue;
        }
        while !cursor.goto_next_sibling() {
            if !cursor.goto_parent() {
                return counts;
            }
        }
    }
}

#[test]
fn real_scores_have_no_error() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/scores/kern");
    let mut parser = Parser::new();
    parser.set_language(&grammar_kern::LANGUAGE.into()).unwrap();
    let kinds = ["note", "rest", "dynamics", "syllable", "stray"];
    let (mut files, mut totals) = (0, vec![0; kinds.len()]);
    for file in std::fs::read_dir(folder).unwrap() {
        let path = file.unwrap().path();
        if path.extension().is_none_or(|extension| extension != "krn") {
            continue;
        }
        let text = std::fs::read_to_string(&path).unwrap();
        let tree = parser.parse(&text, None).unwrap();
        if let Some(error) = first_error(tree.root_node()) {
            let place = error.start_position();
            panic!(
                "{}: {place}: {:?}",
                path.display(),
                text.lines().nth(place.row)
            );
        }
        for (total, more) in totals.iter_mut().zip(count(tree.root_node(), &kinds)) {
            *total += more;
        }
        files += 1;
    }
    println!("{files} files without an error: {kinds:?} {totals:?}");
    assert!(
        files > 0 && totals[..4].iter().all(|total| *total > 1000),
        "{totals:?}"
    );
    assert!(totals[4] < 300, "{} strays", totals[4]);
}
