//! Every note of the horn spines of real Humdrum scores against the truth computed elsewhere.
#![expect(clippy::unwrap_used, reason = "a test fails loudly")]

use horn::{CrookName, read_name};
use notation::{Document, Format};
use score::{EventKind, Note, Part};
use support::{TruePart, Truth, home};

struct Read {
    number: u32,
    offset: f64,
    note: Note,
    sounding: i32,
}

/// A part's notes with their sounds.
fn notes(part: &Part) -> Vec<Read> {
    part.events()
        .filter_map(|placed| match &placed.event.kind {
            EventKind::Note(note) => Some(Read {
                number: part.bars[placed.bar].number,
                offset: placed.event.offset.to_f64(),
                sounding: note.sounding.unwrap().midi(),
                note: note.clone(),
            }),
            _ => None,
        })
        .collect()
}

/// The highest first among notes that begin together: the truth keeps no other order there.
fn sort(notes: &mut [Read]) {
    for together in
        notes.chunk_by_mut(|one, next| one.number == next.number && one.offset == next.offset)
    {
        together.sort_by_key(|read| (std::cmp::Reverse(read.sounding), !read.note.grace));
    }
}

/// The truth takes the page from what the file records; where it records nothing, the page is the named horn's, `up`
/// semitones above the sound.
fn compare(read: &[Read], truth: &TruePart, up: i32, file: &str, differing: &mut Vec<String>) {
    assert_eq!(
        read.len(),
        truth.notes.len(),
        "notes of {} in {file}",
        truth.name
    );
    for (read, wanted) in read.iter().zip(&truth.notes) {
        let same = read.number.to_string() == wanted.m
            && (read.offset - wanted.off.quarters()).abs() < 1e-6
            && (read.note.length.to_f64() - wanted.d.quarters()).abs() < 1e-6
            && read.note.written.midi() == wanted.wm + up
            && read.sounding == wanted.s;
        if !same {
            differing.push(format!(
                "{file}: {} in bar {} at {} is {:?}, the truth is {wanted:?}",
                truth.name, read.number, read.offset, read.note
            ));
        }
    }
}

#[test]
fn notes_agree_with_the_truth() {
    let folder = home().join("scores");
    let (mut compared, mut differing, mut unrecorded) = (0, Vec::new(), 0);
    let mut files: Vec<_> = std::fs::read_dir(folder.join("truth"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.to_string_lossy().ends_with(".krn.json"))
        .collect();
    files.sort();
    for path in files {
        let truth: Truth = serde_json::from_slice(&std::fs::read(&path).unwrap()).unwrap();
        let score = folder.join("kern").join(path.file_stem().unwrap());
        let document = Document::from_bytes(Format::Kern, &std::fs::read(score).unwrap()).unwrap();
        let piece = &document.score().pieces[0].piece;
        let before = compared;
        // The truth goes from the lowest part up, the score from the highest down.
        let mut parts = piece.parts.iter().rev();
        for part in &truth.parts {
            let named = |read: &&Part| {
                read.name
                    .as_ref()
                    .is_some_and(|name| name.text == part.name)
            };
            let read_part = parts.find(named).unwrap();
            let mut read = notes(read_part);
            sort(&mut read);
            let up = match (read_part.transposition, read_name(&part.name).crook) {
                (None, CrookName::Named(crook)) => -crook.transposition().0.semitones,
                _ => 0,
            };
            unrecorded += usize::from(up != 0);
            compare(&read, part, up, &truth.file, &mut differing);
            compared += read.len();
        }
        println!("{}: {} notes compared", truth.file, compared - before);
    }
    println!("{compared} notes compared, {} differ", differing.len());
    assert_eq!(
        unrecorded, 2,
        "parts on the page of the horn in their names"
    );
    assert!(compared > 2_000, "only {compared} notes were compared");
    assert!(
        differing.is_empty(),
        "{}",
        differing[..differing.len().min(10)].join("\n")
    );
}
