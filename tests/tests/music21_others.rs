//! The MusicXML and kern readers against another reader: the notes of the music21 package's corpus.
//!
//! Left out unless ignored tests are asked for, as `.ci/run` does; `BELLHAND_MUSIC21` then names the corpus folder. Every
//! fourth file is compared, or all of them where `BELLHAND_MUSIC21_ALL` is 1. Where the two differ, the difference has to
//! be of a class that is listed here with the reason that decides it.
#![expect(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "helpers fail loudly on what the script does not give, and the counts are the outcome"
)]

use std::collections::{BTreeMap, BTreeSet};
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Instant;

use notation::{Document, Format};
use score::{EventKind, Part};
use serde::Deserialize;

/// Of how many files one is compared.
const STRIDE: usize = 4;

// What the script tells ------------------------------------------------------------------------------------------------

#[derive(Deserialize)]
struct OutsideFile {
    file: PathBuf,
    #[serde(default)]
    parts: Vec<Vec<OutsideBar>>,
    failed: Option<String>,
}

/// Its onset; offset, length, MIDI number and grace of each note; and how far its notes and rests reach.
#[derive(Deserialize)]
struct OutsideBar(String, Vec<(String, String, i32, bool)>, String);

/// A note as both sides know it; times in quarter notes, the onset from its barline.
#[derive(Debug, Clone)]
struct Heard {
    onset: f64,
    length: f64,
    midi: i32,
    grace: bool,
    /// The text it was read from, on this side.
    text: String,
}

impl Heard {
    fn same_place(&self, other: &Self) -> bool {
        near(self.onset, other.onset) && self.midi == other.midi && self.grace == other.grace
    }
}

/// A bar: its onset from the start of the piece, and its notes.
#[derive(Debug, Default)]
struct Bar {
    onset: f64,
    notes: Vec<Heard>,
    /// What this reader takes for silence: offset, length, and the text it was read from.
    silent: Vec<(f64, f64, String)>,
    /// What its metre asks for, if it has one.
    meter: Option<f64>,
    /// How far its notes and rests reach as the other side tells.
    told: f64,
    /// Whether it holds a `<forward>` that lasts nothing.
    idle: bool,
}

impl Bar {
    /// How far from its barline its notes and rests reach.
    fn reach(&self) -> f64 {
        let notes = self.notes.iter().map(|note| note.onset + note.length);
        let silent = self.silent.iter().map(|(onset, length, _)| onset + length);
        notes.chain(silent).fold(0.0, f64::max)
    }
}

fn quarters(text: &str) -> f64 {
    let (over, under) = text.split_once('/').unwrap_or((text, "1"));
    over.parse::<f64>().unwrap() / under.parse::<f64>().unwrap()
}

fn near(one: f64, other: f64) -> bool {
    (one - other).abs() < 1e-3
}

fn theirs(OutsideBar(onset, notes, reach): &OutsideBar) -> Bar {
    let notes = notes.iter().map(|(onset, length, midi, grace)| Heard {
        onset: quarters(onset),
        length: quarters(length),
        midi: *midi,
        grace: *grace,
        text: String::new(),
    });
    Bar {
        onset: quarters(onset),
        notes: notes.collect(),
        told: quarters(reach),
        ..Bar::default()
    }
}

/// Whether a measure's text holds a `<forward>` that lasts nothing.
fn idle(text: &str) -> bool {
    text.split("<forward>").skip(1).any(|after| {
        let duration = after.trim_start().strip_prefix("<duration>");
        duration.is_some_and(|duration| duration.starts_with("0<"))
    })
}

fn ours(part: &Part, base: usize, text: &str) -> Vec<Bar> {
    let mut read: Vec<Bar> = part
        .bars
        .iter()
        .map(|bar| Bar {
            onset: bar.onset.to_f64(),
            meter: bar.meter.map(|meter| meter.bar().to_f64()),
            idle: bar
                .span()
                .is_some_and(|span| idle(&text[span.shifted(base).range()])),
            ..Bar::default()
        })
        .collect();
    for placed in part.events() {
        let own = || text[placed.span().shifted(base).range()].to_owned();
        let onset = placed.event.offset.to_f64();
        let bar = &mut read[placed.bar];
        match &placed.event.kind {
            EventKind::Note(note) => bar.notes.push(Heard {
                onset,
                length: note.length.to_f64(),
                midi: note.written.midi(),
                grace: note.grace,
                text: own(),
            }),
            EventKind::Rest(rest) => bar.silent.push((onset, rest.length.to_f64(), own())),
            EventKind::Cue(cue) => bar.silent.push((onset, cue.length.to_f64(), own())),
            _ => {}
        }
    }
    read
}

// Classes of difference ------------------------------------------------------------------------------------------------

/// A class of difference: what music21 does, and what decides that it is otherwise.
type Class = (&'static str, &'static str);

const UNPRINTED: Class = (
    "notes that are cues or not printed count as notes; to who reads the page they are silence",
    "MusicXML 4.0, <cue> and print-object; silence is bellhand's own choice",
);
const CHORD_LENGTH: Class = (
    "all notes of a chord last as long as one of them",
    "MusicXML 4.0, <duration> and <chord>: each note has its own",
);
const EDITORIAL: Class = (
    "an accidental over a note without <alter> alters it",
    "MusicXML 4.0, <alter> and <accidental>: the one sounds, the other is printed",
);
const ALONE: Class = (
    "after a measure that is longer or shorter than another part's, each part goes on alone; here all wait for the longest",
    "MusicXML 4.0, <score-timewise>: a measure holds all its parts",
);
const EMPTY: Class = (
    "a measure in which a part says nothing lasts as its metre in that part, whatever the others say",
    "MusicXML 4.0, <score-timewise>: a measure holds all its parts",
);
const CUT: Class = (
    "what a measure holds beyond its metre is cut off when it is the length of no note",
    "MusicXML 4.0, <duration>: as long as its durations say",
);

const SIGN_BEYOND: Class = (
    "a word or sign set off beyond the last note or rest lengthens the measure",
    "MusicXML 4.0, <offset>: it moves the direction, not the music",
);

const IDLE: Class = (
    "a <forward> that lasts nothing becomes a rest of a quarter note",
    "MusicXML 4.0, <forward> and <duration>: it lasts what it says",
);

/// Why a note of ours is another one there, if a class says so.
fn class(note: &Heard, other: &Heard, leaders: &[(f64, f64)]) -> Option<Class> {
    let led = |length: f64| {
        leaders
            .iter()
            .any(|leader| near(leader.0, note.onset) && near(leader.1, length))
    };
    if note.same_place(other) {
        let chord = note.text.contains("<chord") && led(other.length);
        return chord.then_some(CHORD_LENGTH);
    }
    let lasts = near(note.onset, other.onset) && near(note.length, other.length);
    let sign = note.text.contains("<accidental") && !note.text.contains("<alter");
    (lasts && sign && (note.midi - other.midi).abs() == 1).then_some(EDITORIAL)
}

/// Whether a note that only the other side has is one that this side takes for silence.
fn unprinted(other: &Heard, silent: &[(f64, f64, String)]) -> bool {
    silent.iter().any(|(onset, length, text)| {
        near(*onset, other.onset)
            && (near(*length, other.length) || other.grace)
            && text.contains("<pitch")
            && (text.replace('\'', "\"").contains("print-object=\"no\"") || text.contains("<cue"))
    })
}

/// Why a bar lasts longer or shorter there, if a class says so; `longest` is how far any part of ours reaches in it,
/// `told` how far the other side's notes and rests do.
fn bar_class(bar: &Bar, longest: f64, told: f64, here: f64, there: f64) -> Option<Class> {
    let reach = bar.reach();
    let as_metre = bar.meter.is_some_and(|meter| near(meter, there));
    if !near(here, longest) {
        None
    } else if near(there, reach) {
        Some(ALONE)
    } else if as_metre && near(reach, 0.0) {
        Some(EMPTY)
    } else if as_metre && reach > there {
        Some(CUT)
    } else if near(reach, told) && there > told {
        Some(SIGN_BEYOND)
    } else if bar.idle && near(told, there) && told > reach && told < reach + 1.001 {
        Some(IDLE)
    } else {
        None
    }
}

// The comparison -------------------------------------------------------------------------------------------------------

#[derive(Default)]
struct Tally {
    files: usize,
    parts: usize,
    bars: usize,
    notes: usize,
    agreeing: usize,
    /// How often each class was met, and in which files.
    differing: BTreeMap<Class, (usize, BTreeSet<String>)>,
    unexplained: Vec<String>,
}

impl Tally {
    fn file(&mut self, corpus: &Path, outside: &OutsideFile) {
        let path = &outside.file;
        let name = path.strip_prefix(corpus).unwrap_or(path);
        let name = name.display().to_string();
        self.files += 1;
        let format = Format::of_path(path).unwrap();
        let document = Document::from_bytes(format, &std::fs::read(path).unwrap()).unwrap();
        if let Some(failed) = &outside.failed {
            self.unexplained.push(format!("{name}: {failed}"));
            return;
        }
        let text = document.text();
        let pieces = &document.score().pieces;
        let here: Vec<(&Part, Vec<Bar>)> = pieces
            .iter()
            .flat_map(|placed| placed.piece.parts.iter().map(|part| (placed.base, part)))
            .map(|(base, part)| (part, ours(part, base, &text)))
            .collect();
        if here.len() != outside.parts.len() {
            let (ours, theirs) = (here.len(), outside.parts.len());
            let what = format!("{name}: {ours} parts here, {theirs} there");
            self.unexplained.push(what);
            return;
        }
        let mut longest: Vec<f64> = Vec::new();
        for (_, bars) in &here {
            for (index, bar) in bars.iter().enumerate() {
                if index == longest.len() {
                    longest.push(0.0);
                }
                longest[index] = longest[index].max(bar.reach());
            }
        }
        for ((part, bars), there) in here.iter().zip(&outside.parts) {
            let there: Vec<Bar> = there.iter().map(theirs).collect();
            let place = (name.as_str(), part.id.as_str());
            self.part(place, bars, there, &longest);
        }
    }

    fn part(&mut self, place: (&str, &str), here: &[Bar], there: Vec<Bar>, longest: &[f64]) {
        self.parts += 1;
        let (name, part) = place;
        if here.len() != there.len() {
            let (ours, theirs) = (here.len(), there.len());
            let what = format!("{name}, part {part}: {ours} bars here, {theirs} there");
            self.unexplained.push(what);
            return;
        }
        for index in 1..here.len() {
            let ours = here[index].onset - here[index - 1].onset;
            let theirs = there[index].onset - there[index - 1].onset;
            if near(ours, theirs) {
                continue;
            }
            let bar = &here[index - 1];
            match bar_class(bar, longest[index - 1], there[index - 1].told, ours, theirs) {
                Some(class) => self.differs(class, name),
                None => self.unexplained.push(format!(
                    "{name}, part {part}, bar {index} lasts {ours} here, {theirs} there; it reaches {} ({} there), the longest {}, its metre {:?}",
                    bar.reach(),
                    there[index - 1].told,
                    longest[index - 1],
                    bar.meter
                )),
            }
        }
        for (index, (here, there)) in here.iter().zip(there).enumerate() {
            self.bars += 1;
            let place = format!("{name}, part {part}, bar {}", index + 1);
            self.bar(name, &place, here, there.notes);
        }
    }

    fn bar(&mut self, name: &str, place: &str, here: &Bar, mut there: Vec<Heard>) {
        let mut left = Vec::new();
        for note in &here.notes {
            self.notes += 1;
            let same = there
                .iter()
                .position(|other| note.same_place(other) && near(note.length, other.length));
            if let Some(at) = same {
                there.swap_remove(at);
                self.agreeing += 1;
            } else {
                left.push(note);
            }
        }
        let leaders: Vec<(f64, f64)> = here
            .notes
            .iter()
            .map(|note| (note.onset, note.length))
            .collect();
        for note in left {
            let known = there.iter().enumerate().find_map(|(at, other)| {
                let class = class(note, other, &leaders)?;
                Some((at, class))
            });
            if let Some((at, class)) = known {
                there.swap_remove(at);
                self.differs(class, name);
            } else {
                self.unexplained
                    .push(format!("{place}: {note:?} is not there; {there:?} is left"));
            }
        }
        for other in there {
            if unprinted(&other, &here.silent) {
                self.differs(UNPRINTED, name);
            } else {
                self.unexplained
                    .push(format!("{place}: {other:?} is not here"));
            }
        }
    }

    fn differs(&mut self, class: Class, file: &str) {
        let (count, files) = self.differing.entry(class).or_default();
        *count += 1;
        files.insert(file.to_owned());
    }

    fn print(&self) {
        println!(
            "{} files, {} parts, {} bars, {} notes compared, {} agree",
            self.files, self.parts, self.bars, self.notes, self.agreeing
        );
        for ((what, why), (count, files)) in &self.differing {
            println!(
                "  {count:6} in {} files  music21: {what} ({why})",
                files.len()
            );
        }
    }
}

// The tests ------------------------------------------------------------------------------------------------------------

/// The files of these notations below a folder, in order.
fn files(corpus: &Path, formats: &[Format]) -> Vec<PathBuf> {
    let mut folders = vec![corpus.to_owned()];
    let mut files = Vec::new();
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if Format::of_path(&path).is_some_and(|format| formats.contains(&format)) {
                files.push(path);
            }
        }
    }
    files.sort();
    files
}

fn notes_agree(format: Format) {
    let corpus = std::env::var("BELLHAND_MUSIC21").unwrap();
    let began = Instant::now();
    let all = std::env::var("BELLHAND_MUSIC21_ALL").is_ok_and(|all| all == "1");
    let stride = if all { 1 } else { STRIDE };
    let files = files(Path::new(&corpus), &[format]);
    let chosen: Vec<_> = files.iter().step_by(stride).collect();
    println!(
        "{}: {} of {} files, one in {stride} (all with BELLHAND_MUSIC21_ALL=1)",
        format.name(),
        chosen.len(),
        files.len()
    );
    let mut child = Command::new("python3")
        .arg(support::home().join("outside/scores_of.py"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut names = child.stdin.take().unwrap();
    for path in &chosen {
        writeln!(names, "{}", path.display()).unwrap();
    }
    drop(names);
    let output = child.wait_with_output().unwrap();
    assert!(output.status.success(), "the script failed");
    let mut tally = Tally::default();
    for line in String::from_utf8(output.stdout).unwrap().lines() {
        tally.file(Path::new(&corpus), &serde_json::from_str(line).unwrap());
    }
    tally.print();
    println!("{:.0} seconds", began.elapsed().as_secs_f64());
    assert!(tally.notes > 0, "no notes were compared");
    assert!(
        tally.unexplained.is_empty(),
        "{} differences of no class:\n{}",
        tally.unexplained.len(),
        tally.unexplained[..tally.unexplained.len().min(20)].join("\n")
    );
}

#[test]
#[ignore = "needs the corpus folder of music21 in BELLHAND_MUSIC21; .ci/run fetches it"]
fn notes_of_musicxml_agree_with_music21() {
    notes_agree(Format::MusicXml);
}

#[test]
#[ignore = "needs the corpus folder of music21 in BELLHAND_MUSIC21; .ci/run fetches it"]
fn notes_of_kern_agree_with_music21() {
    notes_agree(Format::Kern);
}

#[test]
#[ignore = "needs the corpus folder of music21 in BELLHAND_MUSIC21; .ci/run fetches it"]
fn every_file_is_read() {
    let corpus = std::env::var("BELLHAND_MUSIC21").unwrap();
    let began = Instant::now();
    for format in Format::ALL {
        let files = files(Path::new(&corpus), &[format]);
        assert!(!files.is_empty(), "no {} in the corpus", format.name());
        let mut with_slips = 0;
        let mut reasons: BTreeMap<String, (usize, String)> = BTreeMap::new();
        for path in &files {
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            let read = std::panic::catch_unwind(|| {
                Document::from_bytes(format, &std::fs::read(path).unwrap())
            });
            let Ok(read) = read else {
                panic!("{} crashes the reader", path.display());
            };
            let document = read.unwrap_or_else(|error| panic!("{}: {error}", path.display()));
            let score = document.score();
            let pieces = score
                .pieces
                .iter()
                .flat_map(|placed| &placed.piece.unreadable);
            let slips: Vec<_> = score.unreadable.iter().chain(pieces).collect();
            with_slips += usize::from(!slips.is_empty());
            for slip in slips {
                let seen = reasons
                    .entry(reason(&slip.problem))
                    .or_insert((0, name.clone()));
                seen.0 += 1;
            }
        }
        println!(
            "{}: {} files read, {with_slips} hold something unreadable",
            format.name(),
            files.len()
        );
        let mut reasons: Vec<_> = reasons.into_iter().collect();
        reasons.sort_by_key(|(_, (count, _))| std::cmp::Reverse(*count));
        for (reason, (count, first)) in reasons {
            println!("  {count:6}  {reason} (first in {first})");
        }
    }
    println!("{:.0} seconds", began.elapsed().as_secs_f64());
}

/// A problem in general: what is quoted and counted in it differs from file to file.
fn reason(problem: &str) -> String {
    let mut out = String::new();
    for (index, stretch) in problem.split('`').enumerate() {
        if index % 2 == 0 {
            let words = stretch.split(' ').map(|word| {
                let number = !word.is_empty() && word.bytes().all(|byte| byte.is_ascii_digit());
                if number { "N" } else { word }
            });
            out.push_str(&words.collect::<Vec<_>>().join(" "));
        } else {
            out.push('…');
        }
    }
    out
}
