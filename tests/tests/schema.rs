//! What the MusicXML writer writes stays valid against the W3C schema, judged by a general-purpose validator.
//!
//! Left out unless ignored tests are asked for, as `.ci/run` does; `BELLHAND_XSD` then names a folder with
//! `musicxml_4_0.xsd`.
#![expect(clippy::unwrap_used, reason = "a test fails loudly")]

use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use engine::{Judged, Settings};
use notation::{Document, Format};
use serde::Deserialize;
use support::home;

use crate::cues::{Cued, cued};

/// So many fixes of one rule are tried in one score.
const OF_ONE_RULE: usize = 3;

/// Every one of so many notes of a horn is made to show its accidental.
const SIGNED_EVERY: usize = 97;

#[derive(Deserialize)]
struct Verdict {
    errors: usize,
    first: Vec<String>,
}

/// Judges files, in their order.
fn judged(schema: &Path, files: &[PathBuf]) -> Vec<Verdict> {
    let mut child = Command::new("python3")
        .arg(home().join("outside/valid.py"))
        .arg(schema)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let list: Vec<String> = files
        .iter()
        .map(|file| file.display().to_string())
        .collect();
    let mut input = child.stdin.take().unwrap();
    let writer = std::thread::spawn(move || input.write_all(list.join("\n").as_bytes()));
    let output = child.wait_with_output().unwrap();
    writer.join().unwrap().unwrap();
    String::from_utf8(output.stdout)
        .unwrap()
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect()
}

#[test]
#[ignore = "needs a folder with the schema in BELLHAND_XSD; .ci/run fetches it"]
fn fixes_keep_scores_valid() {
    let schema = std::env::var_os("BELLHAND_XSD").unwrap();
    let scratch = tempfile::tempdir().unwrap();
    let settings = Settings::default();
    let mut files = Vec::new();
    // For each file after a fix, the place of the file before it.
    let mut pairs = Vec::new();
    let mut save = |text: &str| {
        let path = scratch.path().join(format!("{}.musicxml", files.len()));
        std::fs::write(&path, text).unwrap();
        files.push(path);
        files.len() - 1
    };
    let mut scores: Vec<PathBuf> = std::fs::read_dir(home().join("scores/musicxml"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| {
            path.extension()
                .is_some_and(|extension| extension == "musicxml")
        })
        .collect();
    scores.sort();
    for path in &scores {
        let document =
            Document::from_bytes(Format::MusicXml, &std::fs::read(path).unwrap()).unwrap();
        let analysis = Judged::new(document.clone(), settings.clone());
        let before = save(&document.text());
        let mut counts = std::collections::BTreeMap::new();
        for finding in analysis.findings() {
            let count: &mut usize = counts.entry(finding.rule).or_default();
            *count += 1;
            if *count > OF_ONE_RULE {
                continue;
            }
            for fix in &finding.fixes {
                let Ok(proven) = analysis.prove(&[fix]) else {
                    continue;
                };
                let after = save(&proven.document().text());
                pairs.push((before, after, format!("{}: {}", finding.rule, fix.title)));
            }
        }
        for (piece, (base, reading)) in analysis.pieces().enumerate() {
            for horn in reading.horns.iter().take(2) {
                for note in horn.notes.iter().step_by(SIGNED_EVERY) {
                    let intent = score::Intent::ShowAccidental {
                        note: note.span,
                        brackets: false,
                    };
                    let edits = document.write(&intent).unwrap();
                    let after = save(&document.with_edits(&edits).unwrap().text());
                    pairs.push((before, after, format!("accidental of {}", note.written)));
                }
                let target = horn::WrittenFor::Crook(horn::Crook::EFlat);
                let part = engine::HornOf {
                    piece,
                    base,
                    reading,
                    horn,
                };
                if let Ok(proven) = analysis.rewrite(&[part], target) {
                    let after = save(&proven.document().text());
                    pairs.push((before, after, format!("rewrite of {}", horn.label)));
                }
            }
        }
    }
    let judged = judged(Path::new(&schema), &files);
    assert_eq!(judged.len(), files.len());
    let worse: Vec<String> = pairs
        .iter()
        .filter(|(before, after, _)| judged[*after].errors > judged[*before].errors)
        .map(|(_, after, what)| format!("{what}: {:?}", judged[*after].first))
        .collect();
    println!(
        "{} scores, {} outcomes of fixes validated, {} less valid than before",
        scores.len(),
        pairs.len(),
        worse.len()
    );
    assert!(pairs.len() > 20);
    assert!(worse.is_empty(), "{}", worse.join("\n"));
}

#[test]
#[ignore = "needs a folder with the schema in BELLHAND_XSD and music21's corpus in BELLHAND_MUSIC21; .ci/run fetches both"]
fn cues_keep_whole_scores_valid() {
    let schema = std::env::var_os("BELLHAND_XSD").unwrap();
    let corpus = std::env::var_os("BELLHAND_MUSIC21").unwrap();
    let scores = [
        home().join("scores/musicxml/Bach_BWV.232_09a.mxl"),
        home().join("scores/musicxml/Haydn_104_1.mxl"),
        Path::new(&corpus).join("bach/bwv248.42-4.mxl"),
    ];
    let scratch = tempfile::tempdir().unwrap();
    let mut sum = Cued::default();
    let mut files = Vec::new();
    for (number, score) in scores.iter().enumerate() {
        let (before, after) = cued(score, &mut sum);
        assert_ne!(before.document().text(), after.document().text());
        for (when, judged) in [("before", &before), ("after", &after)] {
            let path = scratch.path().join(format!("{number}-{when}.musicxml"));
            std::fs::write(&path, judged.document().text()).unwrap();
            files.push(path);
        }
    }
    let verdicts = judged(Path::new(&schema), &files);
    let (pairs, odd) = verdicts.as_chunks::<2>();
    assert_eq!((pairs.len(), odd.len()), (scores.len(), 0));
    for ([before, after], score) in pairs.iter().zip(&scores) {
        let more = after.errors > before.errors;
        assert!(!more, "{}: {:?}", score.display(), after.first);
    }
    println!(
        "{} whole scores valid with {} cues, {} small notes and rests compared",
        scores.len(),
        sum.entries.0,
        sum.small
    );
    assert!(sum.small > 250);
}
