//! Prints the tree of each file named, or with `--check` only what is wrong in it.
#![allow(clippy::print_stdout, clippy::unwrap_used, missing_docs)]
use std::time::Instant;
fn main() {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let check = args.first().is_some_and(|a| a == "--check");
    let mut parser = tree_sitter::Parser::new();
    parser.set_language(&grammar_abc::LANGUAGE.into()).unwrap();
    let (mut bytes, mut secs, mut bad) = (0, 0.0, 0);
    for path in args.iter().filter(|a| *a != "--check") {
        let text = std::fs::read(path).unwrap();
        let t = Instant::now();
        let tree = parser.parse(&text, None).unwrap();
        secs += t.elapsed().as_secs_f64();
        bytes += text.len();
        if !check { println!("{:#}", tree.root_node()); continue; }
        let mut stack = vec![tree.root_node()];
        let mut any = false;
        while let Some(n) = stack.pop() {
            if n.is_error() || n.is_missing() || n.kind() == "stray" {
                any = true;
                let r = n.byte_range();
                let line = text[..r.start].iter().filter(|b| **b == b'\n').count() + 1;
                let full = String::from_utf8_lossy(&text).lines().nth(line - 1).unwrap_or("").to_string();
                let s = String::from_utf8_lossy(&text[r.start..r.end.min(r.start + 40)]).to_string();
                println!("{path}:{line}: {} {s:?} in {full:?}", if n.is_missing() { "MISSING" } else { n.kind() });
            }
            for i in 0..n.child_count() { stack.push(n.child(i as u32).unwrap()); }
        }
        if any { bad += 1; }
    }
    if check { println!("{bad} bad, {} bytes, {:.2} MB/s", bytes, bytes as f64 / 1e6 / secs); }
}
