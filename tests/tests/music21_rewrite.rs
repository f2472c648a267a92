//! Parts written for other crooks, against another reader: the music21 package hears what it heard before, and sees it
//! written as the new crook asks.
//!
//! Set `BELLHAND_MUSIC21` as for the other comparisons with it. The larger Humdrum scores are compared where
//! `BELLHAND_MUSIC21_ALL` is 1.
#![expect(
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stdout,
    reason = "helpers fail loudly on what the script does not give, and the counts are the outcome"
)]

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use engine::{HornOf, Judged, Settings};
use fastrand::Rng;
use horn::{Crook, WrittenFor};
use notation::{Document, Format};
use score::{AlterationFrom, EventKind};
use serde::Deserialize;

use crate::seeded::sheet::{REST, Sheet, Stand};
use crate::seeded::write;

/// Humdrum scores up to this many bytes are compared in any case.
const LARGE: u64 = 120_000;
/// Invented scores in each notation.
const INVENTED: u64 = 16;
/// What real scores are written for, in turn.
const TARGETS: [WrittenFor; 5] = [
    WrittenFor::Crook(Crook::F),
    WrittenFor::Crook(Crook::FSharp),
    WrittenFor::ConcertPitch,
    WrittenFor::Crook(Crook::BFlatBasso),
    WrittenFor::Crook(Crook::EFlat),
];

// What the script tells ------------------------------------------------------------------------------------------------

#[derive(Deserialize)]
struct Outside {
    file: PathBuf,
    #[serde(default)]
    parts: Vec<Vec<Note>>,
    failed: Option<String>,
}

/// Onset, length, written and sounding MIDI number, grace.
#[derive(Debug, Clone, PartialEq, Deserialize)]
struct Note(String, String, Option<i32>, Option<i32>, bool);

impl Note {
    fn moment(&self) -> (&str, &str, bool) {
        (&self.0, &self.1, self.4)
    }
}

fn outside(paths: &[&Path]) -> HashMap<PathBuf, Vec<Vec<Note>>> {
    let mut child = Command::new("python3")
        .arg(support::home().join("outside/sounds_of.py"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut names = child.stdin.take().unwrap();
    for path in paths {
        writeln!(names, "{}", path.display()).unwrap();
    }
    drop(names);
    let output = child.wait_with_output().unwrap();
    assert!(output.status.success(), "the script failed");
    let lines = String::from_utf8(output.stdout).unwrap();
    let told = lines.lines().map(|line| {
        let told: Outside = serde_json::from_str(line).unwrap();
        assert_eq!(told.failed, None, "{}", told.file.display());
        // A part without a note is none to some notations' readers.
        let parts = told.parts.into_iter().filter(|part| !part.is_empty());
        (told.file, parts.collect())
    });
    told.collect()
}

// The scores -----------------------------------------------------------------------------------------------------------

/// A score and what was made of it.
struct Pair {
    target: WrittenFor,
    before: PathBuf,
    after: PathBuf,
    /// Of each part with notes: its written pitches before and after as this project reads them, and the semitones that
    /// were added to the written notes before, when it is a horn's that keeps one crook; those of other parts are `None`.
    parts: Vec<Part>,
}

struct Part {
    name: String,
    /// Its written pitches before and afterwards.
    before: Vec<(i32, bool)>,
    written: Vec<(i32, bool)>,
    horn: Option<Horn>,
}

struct Horn {
    /// What is added to its written notes before, if that is one thing throughout.
    before: Option<i32>,
    /// Whether the file records what the name says, so that another reader hears the same.
    agrees: bool,
}

/// Writes all horns of a score for a target; the score's new text, or why not.
fn rewritten(judged: &Judged, target: WrittenFor) -> Result<Document, String> {
    let parts: Vec<HornOf<'_>> = HornOf::all(judged)
        .filter(|part| !engine::is_written_for(part.horn, target))
        .collect();
    if parts.is_empty() {
        return Err(format!("written {} already", target.phrase()));
    }
    let proven = judged.rewrite(&parts, target);
    let proven = proven.map_err(|why| why.to_string())?;
    Ok(Document::clone(proven.document()))
}

/// A part's written pitches, sorted as the script sorts notes, and whether music21 may miss their accidental: a tie
/// brings it, or an earlier note of a bar with chords.
fn written(part: &score::Part) -> Vec<(i32, bool)> {
    let of_chord = |placed: score::Placed<'_>| match &placed.event.kind {
        EventKind::Note(note) if note.chord => Some(placed.bar),
        _ => None,
    };
    let chords: BTreeSet<usize> = part.events().filter_map(of_chord).collect();
    let mut notes: Vec<(f64, bool, i32, bool)> = part
        .events()
        .filter_map(|placed| match &placed.event.kind {
            EventKind::Note(note) => {
                let missed = match note.alteration_from {
                    AlterationFrom::Tie => true,
                    AlterationFrom::Bar => chords.contains(&placed.bar),
                    _ => false,
                };
                let onset = placed.onset.to_f64();
                Some((onset, !note.grace, note.written.midi(), missed))
            }
            _ => None,
        })
        .collect();
    notes.sort_by(|one, other| {
        let place = |note: &(f64, bool, i32, bool)| (note.0, note.1, note.2);
        place(one).partial_cmp(&place(other)).unwrap()
    });
    let pitches = notes.into_iter().map(|(.., midi, missed)| (midi, missed));
    pitches.collect()
}

/// The parts with notes of a document of one piece, with what its outcome writes.
fn parts(analysis: &Judged, after: &Document) -> Vec<Part> {
    assert_eq!(analysis.pieces().len(), 1, "a score of one piece");
    let (_, reading) = analysis.pieces().next().unwrap();
    let [now] = &after.score().pieces[..] else {
        panic!("a score of one piece");
    };
    let mut parts = Vec::new();
    for (index, part) in now.piece.parts.iter().enumerate() {
        let written = written(part);
        if written.is_empty() {
            continue;
        }
        let horn = reading.horns.iter().find(|horn| horn.seat.part == index);
        let said_wrong = analysis.findings().iter().any(|finding| {
            finding.rule == "notation/wrong-transposition"
                && finding.part.as_deref() == horn.map(|horn| horn.label.as_str())
        });
        parts.push(Part {
            name: horn.map_or_else(|| part.id.clone(), |horn| horn.label.clone()),
            before: self::written(&reading.piece.parts[index]),
            written,
            horn: horn.map(|horn| Horn {
                before: horn
                    .crook_changes
                    .is_empty()
                    .then_some(horn.crook.transposition.0.semitones),
                agrees: !said_wrong,
            }),
        });
    }
    parts
}

/// Two horns from a seed, in the ferry band's common time, on crooks named in several languages; in every second piece
/// the first changes its crook on the way.
fn invented(seed: u64) -> Sheet {
    const NAMES: [(&str, i32); 10] = [
        ("Horn 1 in F", -7),
        ("Corno in Re", -10),
        ("Hörner in Es", -9),
        ("Cor en mi", -8),
        ("Trompa en La", -3),
        ("Horn in B flat basso", -14),
        ("Corni in Sol", -5),
        ("Horn in A flat", -4),
        ("Horn in D flat", -11),
        ("Horn in C basso", -12),
    ];
    const NOTES: [&str; 14] = [
        "C8", "E8", "G8", "c8", "d8", "e8", "f8", "g8", "^f8", "_B8", "_e8", "^c8", "^G8", "[ce]8",
    ];
    let mut rng = Rng::with_seed(seed);
    let stands = (0..2).map(|place| {
        let (name, records) = NAMES[rng.usize(0..NAMES.len())];
        let mut bars: Vec<String> = Vec::new();
        for bar in 0..12 {
            let note = |rng: &mut Rng| NOTES[rng.usize(0..NOTES.len())];
            if bar % 4 == 3 {
                bars.push(REST.to_owned());
                continue;
            }
            let mut notes: Vec<&str> = (0..3).map(|_| note(&mut rng)).collect();
            notes.push("g8-");
            bars.push(notes.join(" "));
            if bar % 4 < 2 {
                let next = bars.last_mut().unwrap();
                if rng.bool() {
                    *next = next.replace("g8-", "z8");
                }
            } else {
                let next = bars.last_mut().unwrap();
                *next = next.replace("g8-", "c8");
            }
        }
        // A tie goes on into the next bar's first note.
        for bar in 1..bars.len() {
            if bars[bar - 1].ends_with("g8-") {
                let (_, rest) = bars[bar].split_once(' ').unwrap();
                bars[bar] = format!("g8 {rest}");
            }
        }
        if place == 0 && seed % 2 == 1 {
            let (words, by) =
                [("muta in E", -8), ("in Es", -9), ("muta in F", -7)][rng.usize(0..3)];
            bars[3] = format!("\"^{words}\" {REST}");
            bars[4] = format!("[K:none transpose={by}] {}", bars[4]);
        }
        Stand {
            name: name.to_owned(),
            records: Some(records),
            said: None,
            key: if place == 1 && seed.is_multiple_of(3) {
                -2
            } else {
                0
            },
            bars,
        }
    });
    Sheet {
        stands: stands.collect(),
        told: None,
        repeated: None,
        new_page: None,
    }
}

/// An invented piece in a notation. Of signatures inside the music of ABC music21 knows the first line, so in ABC there
/// is one in the header, of one part alone.
fn text(seed: u64, format: Format) -> String {
    let mut sheet = invented(seed);
    if format != Format::Abc {
        return write::write(&sheet, format);
    }
    let signed = seed.is_multiple_of(6);
    sheet.stands.iter_mut().for_each(|stand| stand.key = 0);
    if signed {
        sheet.stands.truncate(1);
        return write::write(&sheet, format).replace("K:none\n", "K:Bb\n");
    }
    write::write(&sheet, format)
}

// The comparison -------------------------------------------------------------------------------------------------------

#[derive(Debug, Default, PartialEq, Eq)]
struct Tally {
    pairs: usize,
    horns: usize,
    horn_notes: usize,
    other_notes: usize,
    /// Horn parts whose record is not their name's, so that the other reader heard something else before.
    disagreeing: usize,
    /// Notes of ABC whose accidental music21 misses: one that a tie brings over the barline (ABC 2.1, 4.11), or one
    /// in a bar with chords, which it lets reach no other note (4.17).
    missed: usize,
}

fn compare(tally: &mut Tally, pair: &Pair, before: &[Vec<Note>], after: &[Vec<Note>], kern: bool) {
    let place = pair.after.display();
    assert_eq!(before.len(), after.len(), "{place}");
    assert_eq!(before.len(), pair.parts.len(), "{place}");
    tally.pairs += 1;
    for ((was, is), part) in before.iter().zip(after).zip(&pair.parts) {
        let place = format!("{place}, {}", part.name);
        let Some(horn) = &part.horn else {
            assert_eq!(was, is, "{place}");
            tally.other_notes += is.len();
            continue;
        };
        assert_eq!(was.len(), is.len(), "{place}");
        assert_eq!(part.written.len(), is.len(), "{place}");
        tally.horns += 1;
        tally.disagreeing += usize::from(!horn.agrees);
        let crook = pair.target.transposition().0.semitones;
        let ours = part.before.iter().zip(&part.written);
        for ((was, is), (old, new)) in was.iter().zip(is).zip(ours) {
            tally.horn_notes += 1;
            assert_eq!(was.moment(), is.moment(), "{place}");
            let misses = |note: &Note, (ours, may): (i32, bool)| {
                may && note.2.is_some_and(|written| written != ours)
            };
            if misses(was, *old) || misses(is, *new) {
                tally.missed += 1;
                continue;
            }
            let ours = &new.0;
            let sounds = is.3.unwrap();
            let written = if kern { *ours } else { is.2.unwrap() };
            assert_eq!(written + crook, sounds, "{place}: {is:?}");
            assert_eq!(written, *ours, "{place}: {is:?}");
            // What it sounded like: as recorded, or, where nothing is, by its one crook.
            let sounded = match (was.3, was.2.zip(horn.before)) {
                (Some(sounded), _) if horn.agrees || kern => sounded,
                (_, Some((written, by))) => written + by,
                _ => panic!("{place}: nothing says how it sounded"),
            };
            assert_eq!(sounds, sounded, "{place}: {was:?} became {is:?}");
        }
    }
}

/// Compares all pairs of a notation.
fn agree(
    format: Format,
    scores: Vec<(PathBuf, Vec<WrittenFor>)>,
    tally: &mut Tally,
) -> BTreeMap<String, usize> {
    let folder = tempfile::tempdir().unwrap();
    let mut pairs = Vec::new();
    let mut refused: BTreeMap<String, usize> = BTreeMap::new();
    for (path, targets) in scores {
        let document = Document::from_bytes(format, &fs::read(&path).unwrap()).unwrap();
        let analysis = Judged::new(document, Settings::default());
        if analysis
            .pieces()
            .all(|(_, reading)| reading.horns.is_empty())
        {
            continue;
        }
        for target in targets {
            let after = match rewritten(&analysis, target) {
                Ok(after) => after,
                Err(why) => {
                    *refused.entry(why).or_default() += 1;
                    continue;
                }
            };
            let ending = path.extension().unwrap().to_str().unwrap();
            let name = folder.path().join(format!("{}.{ending}", pairs.len()));
            fs::write(&name, after.to_bytes().unwrap()).unwrap();
            pairs.push(Pair {
                target,
                before: path.clone(),
                after: name,
                parts: parts(&analysis, &after),
            });
        }
    }
    let mut paths: Vec<&Path> = pairs
        .iter()
        .flat_map(|pair| [pair.before.as_path(), pair.after.as_path()])
        .collect();
    paths.sort_unstable();
    paths.dedup();
    let told = outside(&paths);
    for pair in &pairs {
        let (before, after) = (&told[&pair.before], &told[&pair.after]);
        compare(tally, pair, before, after, format == Format::Kern);
    }
    refused
}

fn real(format: Format) -> Vec<(PathBuf, Vec<WrittenFor>)> {
    let (folder, ending, each) = match format {
        Format::Abc => ("abc", "abc", 3),
        Format::MusicXml => ("musicxml", "musicxml", 3),
        Format::Kern => ("kern", "krn", 1),
    };
    let all = std::env::var("BELLHAND_MUSIC21_ALL").is_ok_and(|all| all == "1");
    let folder = support::home().join("scores").join(folder);
    let mut paths: Vec<PathBuf> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|own| own == ending))
        .filter(|path| all || format != Format::Kern || fs::metadata(path).unwrap().len() <= LARGE)
        .collect();
    paths.sort();
    let targets = |place: usize| {
        (0..each)
            .map(|at| TARGETS[(place + at) % TARGETS.len()])
            .collect()
    };
    paths
        .into_iter()
        .enumerate()
        .map(|(place, path)| (path, targets(place)))
        .collect()
}

fn rewrites_agree(format: Format) -> (Tally, Tally) {
    let mut real_tally = Tally::default();
    let refused = agree(format, real(format), &mut real_tally);
    let folder = tempfile::tempdir().unwrap();
    let invented = (0..INVENTED).map(|seed| {
        let ending = match format {
            Format::Abc => "abc",
            Format::MusicXml => "musicxml",
            Format::Kern => "krn",
        };
        let path = folder.path().join(format!("{seed}.{ending}"));
        fs::write(&path, text(seed, format)).unwrap();
        let targets = WrittenFor::ALL;
        let few = (0..3).map(|at| targets[(seed as usize * 3 + at) % targets.len()]);
        (path, few.collect())
    });
    let mut invented_tally = Tally::default();
    let refused_invented = agree(format, invented.collect(), &mut invented_tally);
    println!(
        "{}, real scores: {real_tally:?}; not rewritten: {refused:?}",
        format.name()
    );
    println!(
        "{}, invented: {invented_tally:?}; not rewritten: {refused_invented:?}",
        format.name()
    );
    (real_tally, invented_tally)
}

#[test]
#[ignore = "needs music21, which .ci/run installs"]
fn rewrites_of_abc_agree_with_music21() {
    let (real, invented) = rewrites_agree(Format::Abc);
    assert_eq!((real.pairs, real.horns), (12, 27));
    assert_eq!((invented.pairs, invented.horns), (47, 86));
    assert!(real.horn_notes > 12_000 && real.missed * 20 < real.horn_notes);
}

#[test]
#[ignore = "needs music21, which .ci/run installs"]
fn rewrites_of_musicxml_agree_with_music21() {
    let (real, invented) = rewrites_agree(Format::MusicXml);
    assert_eq!((real.pairs, real.horns), (38, 95));
    assert_eq!((invented.pairs, invented.horns), (47, 94));
    assert!(real.horn_notes > 29_000 && real.missed + invented.missed == 0);
}

#[test]
#[ignore = "needs music21, which .ci/run installs"]
fn rewrites_of_kern_agree_with_music21() {
    let (real, invented) = rewrites_agree(Format::Kern);
    assert!(real.pairs >= 3 && real.horns >= 6);
    assert_eq!((invented.pairs, invented.horns), (47, 94));
    assert!(real.other_notes > 10_000 && real.missed + invented.missed == 0);
}
