//! Every fix offered on every real score: written, read again, proven, or refused with a reason.
#![expect(clippy::unwrap_used, reason = "a test fails loudly")]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use engine::{Judged, Settings};
use notation::{Document, Format};
use support::home;

/// So many fixes of one rule are tried in one score; more of the same would show nothing new.
const OF_ONE_RULE: usize = 6;

fn scores(folder: &Path, found: &mut Vec<PathBuf>) {
    let mut entries: Vec<PathBuf> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    entries.sort();
    for path in entries {
        if path.is_dir() {
            scores(&path, found);
        } else if Format::of_path(&path).is_some() {
            found.push(path);
        }
    }
}

#[test]
fn every_fix_on_every_score_is_proven_or_refused_with_a_reason() {
    let settings = Settings::default();
    let mut files = Vec::new();
    scores(&home().join("scores"), &mut files);
    let mut tried: BTreeMap<&str, usize> = BTreeMap::new();
    let mut refused = Vec::new();
    for path in &files {
        let format = Format::of_path(path).unwrap();
        let document = Document::from_bytes(format, &std::fs::read(path).unwrap()).unwrap();
        let analysis = Judged::new(document.clone(), settings.clone());
        let mut of_rule: BTreeMap<&str, usize> = BTreeMap::new();
        for finding in analysis.findings() {
            let count = of_rule.entry(finding.rule).or_default();
            if *count >= OF_ONE_RULE {
                continue;
            }
            *count += 1;
            for fix in &finding.fixes {
                *tried.entry(finding.rule).or_default() += 1;
                // `prove` writes the fix, reads the outcome again and compares every note.
                match analysis.prove(&[fix]) {
                    Ok(proven) => assert!(!proven.edits().is_empty()),
                    Err(why) => refused.push(format!(
                        "{}: {}: {}: {why}",
                        path.file_name().unwrap().to_string_lossy(),
                        finding.rule,
                        fix.title
                    )),
                }
            }
        }
    }
    let total: usize = tried.values().sum();
    println!(
        "{} scores, {total} fixes tried, {} refused",
        files.len(),
        refused.len()
    );
    for (rule, count) in &tried {
        println!("  {rule}: {count}");
    }
    for line in &refused {
        println!("  refused: {line}");
    }
    assert!(
        files.len() >= 20 && total > 50,
        "{} files, {total} fixes",
        files.len()
    );
    assert!(refused.is_empty(), "{refused:#?}");
}
