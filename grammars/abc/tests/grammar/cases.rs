//! Reads the corpus: named cases, each a text and the tree it must give.

use std::{fs, path::Path};

/// One case of the corpus.
pub struct Case {
    /// What the case shows.
    pub name: String,
    /// The ABC text; `␍` in the file stands for a carriage return.
    pub text: String,
    /// The tree as an S-expression with single spaces.
    pub tree: String,
}

fn squeezed(tree: &str) -> String {
    tree.split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
        .replace(" )", ")")
}

/// Every case of every file in `test/corpus`.
pub fn all() -> Vec<Case> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("test/corpus");
    let mut cases = Vec::new();
    for file in fs::read_dir(folder).unwrap() {
        let path = file.unwrap().path();
        let corpus = fs::read_to_string(&path).unwrap();
        let parts: Vec<&str> = corpus.split("==================\n").skip(1).collect();
        assert!(parts.len().is_multiple_of(2), "{}", path.display());
        for part in parts.chunks_exact(2) {
            let (text, tree) = part[1].split_once("\n---\n").unwrap();
            cases.push(Case {
                name: part[0].trim_end().to_owned(),
                text: text.replace('␍', "\r"),
                tree: squeezed(tree),
            });
        }
    }
    cases
}
