//! Every note of the real horn parts against the truth computed elsewhere.

use engine::{Judged, Settings};
use notation::{Document, Format};
use support::{Truth, home};

#[test]
fn notes_agree_with_the_truth() {
    let folder = home().join("scores");
    let (mut compared, mut differing) = (0, Vec::new());
    let mut files: Vec<_> = std::fs::read_dir(folder.join("truth"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.to_string_lossy().ends_with(".abc.json"))
        .collect();
    files.sort();
    for path in files {
        let truth: Truth = serde_json::from_slice(&std::fs::read(&path).unwrap()).unwrap();
        let score = folder.join("abc").join(path.file_stem().unwrap());
        let document = Document::from_bytes(Format::Abc, &std::fs::read(&score).unwrap()).unwrap();
        let analysis = Judged::new(document.clone(), Settings::default());
        let horns: Vec<_> = analysis
            .pieces()
            .flat_map(|(_, reading)| &reading.horns)
            .collect();
        assert_eq!(
            horns.len(),
            truth.parts.len(),
            "horn parts of {}",
            truth.file
        );
        let before = compared;
        for (horn, part) in horns.iter().zip(&truth.parts) {
            assert_eq!(
                horn.notes.len(),
                part.notes.len(),
                "notes of {} in {}",
                part.name,
                truth.file
            );
            for (note, wanted) in horn.notes.iter().zip(&part.notes) {
                compared += 1;
                let same = note.number.to_string() == wanted.m
                    && (note.offset.to_f64() - wanted.off.quarters()).abs() < 1e-6
                    && (note.length.to_f64() - wanted.d.quarters()).abs() < 1e-6
                    && note.written.midi() == wanted.wm
                    && note.sounding.midi() == wanted.s;
                if !same {
                    differing.push(format!(
                        "{}: {} has {note:?}, the truth is {wanted:?}",
                        truth.file, part.name
                    ));
                }
            }
        }
        println!("{}: {} notes compared", truth.file, compared - before);
    }
    println!("{compared} notes compared, {} differ", differing.len());
    assert!(compared > 2_000, "only {compared} notes were compared");
    assert!(
        differing.is_empty(),
        "{}",
        differing[..differing.len().min(10)].join("\n")
    );
}
