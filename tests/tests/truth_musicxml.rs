//! Every note of the real MusicXML horn parts against the truth computed elsewhere.
#![expect(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "test helpers fail loudly and tell their counts"
)]

use std::path::{Path, PathBuf};

use engine::{Judged, Settings};
use notation::{Document, Format};
use serde::Deserialize;
use support::{TrueTime, home};

#[derive(Debug, Deserialize)]
struct Truth {
    parts: Vec<TruePart>,
}

#[derive(Debug, Deserialize)]
struct TruePart {
    name: String,
    notes: Vec<TrueNote>,
}

#[derive(Debug, Deserialize)]
struct TrueNote {
    m: String,
    off: TrueTime,
    wm: i32,
    s: i32,
    d: TrueTime,
    /// The key signature in force, in fifths.
    k: i32,
}

/// The folder of the scores, or another one with the same files in it.
fn folder() -> PathBuf {
    std::env::var_os("BELLHAND_SCORES").map_or_else(|| home().join("scores"), PathBuf::from)
}

/// The scores that a truth is about: the horn parts alone, and the whole work where it is kept too.
fn scores(folder: &Path, truth: &str) -> Vec<PathBuf> {
    let whole = truth.replace(".horns.musicxml", ".mxl");
    ["musicxml", "orchestra", "symphony"]
        .iter()
        .flat_map(|inner| [truth, whole.as_str()].map(|name| folder.join(inner).join(name)))
        .filter(|path| path.is_file())
        .collect()
}

fn compare(path: &Path, truth: &Truth, differing: &mut Vec<String>) -> usize {
    let bytes = std::fs::read(path).unwrap();
    let document = Document::from_bytes(Format::MusicXml, &bytes).unwrap();
    let analysis = Judged::new(document.clone(), Settings::default());
    let horns: Vec<_> = analysis
        .pieces()
        .flat_map(|(_, reading)| &reading.horns)
        .collect();
    let shown = path.display();
    assert_eq!(horns.len(), truth.parts.len(), "horn parts of {shown}");
    let mut compared = 0;
    for (horn, part) in horns.iter().zip(&truth.parts) {
        assert_eq!(
            horn.notes.len(),
            part.notes.len(),
            "notes of {} in {shown}",
            part.name
        );
        for (note, wanted) in horn.notes.iter().zip(&part.notes) {
            compared += 1;
            let key = horn
                .keys
                .iter()
                .rev()
                .find(|(onset, _, _)| *onset <= note.onset)
                .and_then(|(_, key, _)| key.fifths())
                .unwrap_or(0);
            let same = note.number.to_string() == wanted.m
                && (note.offset.to_f64() - wanted.off.quarters()).abs() < 1e-6
                && (note.length.to_f64() - wanted.d.quarters()).abs() < 1e-6
                && note.written.midi() == wanted.wm
                && note.sounding.midi() == wanted.s
                && key == wanted.k;
            if !same {
                differing.push(format!(
                    "{shown}: {} has {note:?} in key {key}, the truth is {wanted:?}",
                    part.name
                ));
            }
        }
    }
    println!("{shown}: {compared} notes compared");
    compared
}

#[test]
fn notes_agree_with_the_truth() {
    let folder = folder();
    let (mut files, mut compared, mut differing) = (0, 0, Vec::new());
    let mut truths: Vec<_> = std::fs::read_dir(folder.join("truth"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.to_string_lossy().ends_with(".musicxml.json"))
        .collect();
    truths.sort();
    for path in truths {
        let truth: Truth = serde_json::from_slice(&std::fs::read(&path).unwrap()).unwrap();
        let name = path.file_stem().unwrap().to_string_lossy();
        for score in scores(&folder, &name) {
            files += 1;
            compared += compare(&score, &truth, &mut differing);
        }
    }
    println!(
        "{files} files, {compared} notes compared, {} differ",
        differing.len()
    );
    assert!(compared > 3_000, "only {compared} notes were compared");
    assert!(
        differing.is_empty(),
        "{}",
        differing[..differing.len().min(10)].join("\n")
    );
}
