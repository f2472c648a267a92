//! The rule book in the project is the one the rules make.

use std::path::Path;
use std::process::Command;

#[test]
fn the_rule_book_is_not_stale() {
    let made = Command::new(env!("CARGO_BIN_EXE_bellhand"))
        .args(["explain", "--book"])
        .output()
        .unwrap();
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../rules/rule-book.md");
    let kept = std::fs::read_to_string(path).unwrap();
    assert!(
        kept == String::from_utf8(made.stdout).unwrap(),
        "make it anew: cargo run -q -p bellhand -- explain --book > server/rules/rule-book.md"
    );
}
