//! The list of faults that were tried names tests that there are.

use std::fs;
use std::path::Path;

use support::home;

/// What the list's short names stand for, as its head says.
const ROOMS: [(&str, &str); 10] = [
    ("lsp", "server/bellhand/tests/lsp"),
    ("cli", "server/bellhand/tests/cli"),
    ("write", "server/files/src"),
    ("package", "server/notation/src/musicxml"),
    ("reading", "server/notation/tests"),
    ("guard", "server/engine/src/guard"),
    ("bounds", "tests/tests/bounds"),
    ("tests", "tests/tests"),
    ("abc", "grammars/abc/tests"),
    ("kern", "grammars/kern/tests"),
];

#[test]
fn every_fault_tried_has_its_test() {
    let list = fs::read_to_string(home().join("faults.md")).unwrap();
    let root = home().join("..");
    let mut named = 0;
    let rows = list.lines().filter(|line| line.starts_with("| "));
    for row in rows.filter(|row| !row.ends_with("| where |")) {
        let place = row
            .trim_end_matches([' ', '|'])
            .rsplit("| ")
            .next()
            .unwrap();
        for one in place.split(", ") {
            let one = one.trim_matches('`');
            let Some((path, test)) = one.split_once(": ") else {
                assert!(root.join(one).is_file(), "{one}");
                continue;
            };
            let (short, file) = path.split_once('/').unwrap();
            let room = ROOMS.iter().find(|(name, _)| *name == short);
            let (_, folder) = room.unwrap_or_else(|| panic!("{short} stands for nothing"));
            let path = root.join(Path::new(folder)).join(file);
            let text = fs::read_to_string(&path).unwrap_or_default();
            let marked = format!("#[test]\nfn {test}()");
            let lines: Vec<&str> = text.lines().map(str::trim_start).collect();
            assert!(
                lines.join("\n").contains(&marked),
                "{test} in {}",
                path.display()
            );
            named += 1;
        }
    }
    println!("{named} tests named");
    assert!(named > 60, "{named}");
}
