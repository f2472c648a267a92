//! The order of performance against another reader: music21's expansion of the repeats in its corpus.
//!
//! Left out unless ignored tests are asked for, as `.ci/run` does; `BELLHAND_MUSIC21` then names the corpus folder. One
//! file in several is compared, or all where `BELLHAND_MUSIC21_ALL` is 1. Where the two differ, the difference has to be of
//! a class that is listed here with the reason that decides it.
#![expect(
    clippy::unwrap_used,
    reason = "helpers fail loudly on what the script does not give"
)]

use std::collections::BTreeMap;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use notation::{Document, Format};
use score::{Part, Performance, Piece};
use serde::Deserialize;

/// Of how many files one is compared: many of ABC hold a whole book of tunes.
const STRIDE: usize = 4;
const STRIDE_ABC: usize = 48;

#[derive(Deserialize)]
struct Outside {
    file: PathBuf,
    piece: usize,
    #[serde(default)]
    bars: usize,
    #[serde(default)]
    order: Vec<usize>,
    failed: Option<String>,
}

// Classes of outcome ---------------------------------------------------------------------------------------------------

/// What comes of a comparison, and what decides it where the orders differ.
type Class = (&'static str, &'static str);

const SAME: Class = ("the same order", "");
const GIVEN_UP: Class = ("music21 cannot expand it", "");
const TO_THE_START: Class = (
    "music21 goes back to the very start, and plays earlier repeats again, where a repeat names no beginning",
    "ABC 2.1, section 4.8: to the latest double bar or end of a repeat; of the others, common practice",
);
const BARLINES_ALONE: Class = (
    "music21 follows no D.C. in words or decorations and no order of parts",
    "ABC 2.1, sections 3.1.9 and 4.14",
);
const OTHER_BARS: Class = (
    "music21 counts a bar between two barlines with nothing between",
    "ABC 2.1, section 4.8: barlines may be put together",
);
/// Pieces of which each has been looked at by hand, with what it is about them.
const LOOKED_AT: [(&str, &str); 5] = [
    (
        "beethoven/opus18no4.mxl, piece 1",
        "music21 takes a forward repeat at the right of a measure for a backward one",
    ),
    ("joplin/maple_leaf_rag.mxl, piece 1", EARLY),
    ("ryansMammoth/Eviction.abc, piece 1", EARLY),
    ("ryansMammoth/LeagueAndSlasherReel.abc, piece 1", FERMATA),
    ("ryansMammoth/MillersMaid.abc, piece 1", FERMATA),
];
const EARLY: &str = "music21 loses a repeat that has endings and begins after an upbeat";
const FERMATA: &str = "music21 loses a barline with a fermata before it";

/// The class that a piece is of; fails with what nobody has explained.
fn class(piece: &Piece, there: &Outside, name: &str) -> Result<Class, String> {
    let part = piece.parts.first().ok_or("no part here")?;
    let bars = part.bars.len();
    let Performance { turns, undecided } = Performance::of(piece, bars);
    let here: Vec<usize> = turns.into_iter().flatten().collect();
    // What no sign or word but the barlines says.
    let mut bare = piece.clone();
    bare.order = None;
    let runs = bare.parts.iter_mut().flat_map(|part| &mut part.bars);
    runs.for_each(|bar| bar.runs.clear());
    let barlines: Vec<usize> = Performance::of(&bare, bars)
        .turns
        .into_iter()
        .flatten()
        .collect();
    if there.failed.is_some() {
        return Ok(GIVEN_UP);
    }
    if there.bars != bars {
        // All that it plays of the bars that both count is the same.
        let both: Vec<usize> = there
            .order
            .iter()
            .copied()
            .filter(|bar| *bar < bars)
            .collect();
        if both == barlines {
            return Ok(OTHER_BARS);
        }
    } else if here == there.order {
        return Ok(SAME);
    } else if barlines == there.order {
        return Ok(BARLINES_ALONE);
    } else if to_the_start(part) == there.order {
        return Ok(TO_THE_START);
    } else if let Some((_, what)) = LOOKED_AT.iter().find(|(one, _)| *one == name) {
        return Ok((what, "looked at by hand"));
    }
    Err(format!(
        "{bars} bars here, {} there; {} here, {} there; {undecided:?}",
        there.bars,
        stretches(&here),
        stretches(&there.order),
    ))
}

/// The order in which a part is played by its barlines, if a repeat that names no beginning has all played again that has
/// been played.
fn to_the_start(part: &Part) -> Vec<usize> {
    let mut played = Vec::new();
    let (mut from, mut ending) = (0, None);
    let mut begun = part
        .opening
        .as_ref()
        .is_some_and(|opening| opening.repeat_start);
    for (bar, close) in part.bars.iter().map(|bar| bar.close.as_ref()).enumerate() {
        played.push(bar);
        let Some(close) = close else {
            continue;
        };
        if close.repeat_end {
            let start = if begun { from } else { 0 };
            let again: Vec<usize> = played[start..ending.unwrap_or(played.len())].to_vec();
            for _ in 1..close.times.unwrap_or(2) {
                played.extend_from_slice(&again);
            }
            (begun, ending) = (false, None);
        } else if close.ending.is_some() {
            ending = Some(played.len());
        }
        if close.repeat_start {
            (from, begun) = (played.len(), true);
        }
    }
    played
}

/// Bars in short: `0-7 0-15`.
fn stretches(bars: &[usize]) -> String {
    let mut stretches: Vec<(usize, usize)> = Vec::new();
    for bar in bars {
        match stretches.last_mut() {
            Some((_, last)) if *last + 1 == *bar => *last = *bar,
            _ => stretches.push((*bar, *bar)),
        }
    }
    let words: Vec<String> = stretches
        .iter()
        .map(|(first, last)| format!("{first}-{last}"))
        .collect();
    words.join(" ")
}

// The comparison -------------------------------------------------------------------------------------------------------

/// Files with repeats of a notation, as far as their text tells.
fn files(corpus: &Path) -> Vec<PathBuf> {
    let mut folders = vec![corpus.to_owned()];
    let mut files = Vec::new();
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if Format::of_path(&path).is_some() {
                files.push(path);
            }
        }
    }
    files.sort();
    let all = std::env::var("BELLHAND_MUSIC21_ALL").is_ok_and(|all| all == "1");
    let one_in = |stride| if all { 1 } else { stride };
    let (abc, others): (Vec<_>, Vec<_>) = files
        .into_iter()
        .partition(|path| Format::of_path(path) == Some(Format::Abc));
    let abc = abc.into_iter().step_by(one_in(STRIDE_ABC));
    let others = others.into_iter().step_by(one_in(STRIDE));
    others
        .filter(|path| says_repeats(path))
        .chain(abc)
        .collect()
}

fn says_repeats(path: &Path) -> bool {
    let format = Format::of_path(path).unwrap();
    let Ok(document) = Document::from_bytes(format, &std::fs::read(path).unwrap()) else {
        return false;
    };
    let text = document.text();
    let signs = ["<repeat ", "<ending ", "dacapo=", "dalsegno=", ":|", "*>["];
    signs.iter().any(|sign| text.contains(sign))
}

#[test]
#[ignore = "needs music21 and its corpus, which .ci/run installs"]
fn music21_plays_scores_in_the_same_order() {
    let corpus = std::env::var("BELLHAND_MUSIC21").unwrap();
    let corpus = Path::new(&corpus);
    let files = files(corpus);
    let mut child = Command::new("python3")
        .arg(support::home().join("outside/orders_of.py"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut stdin = child.stdin.take().unwrap();
    let asked = files.clone();
    let asking = std::thread::spawn(move || {
        for path in &asked {
            writeln!(stdin, "{}", path.display()).unwrap();
        }
    });
    let output = child.wait_with_output().unwrap();
    asking.join().unwrap();
    assert!(output.status.success());
    let mut tally: BTreeMap<(&str, Class), usize> = BTreeMap::new();
    let mut unexplained = Vec::new();
    let mut compared = 0;
    // The pieces of a file come one after another; a book of tunes is read once.
    let mut open: Option<(PathBuf, Document)> = None;
    for line in String::from_utf8(output.stdout).unwrap().lines() {
        let there: Outside = serde_json::from_str(line).unwrap();
        let format = Format::of_path(&there.file).unwrap();
        if open.as_ref().is_none_or(|(file, _)| *file != there.file) {
            let bytes = std::fs::read(&there.file).unwrap();
            let document = Document::from_bytes(format, &bytes).unwrap();
            open = Some((there.file.clone(), document));
        }
        let (_, document) = open.as_ref().unwrap();
        compared += 1;
        let file = there.file.strip_prefix(corpus).unwrap_or(&there.file);
        let name = format!("{}, piece {}", file.display(), there.piece + 1);
        match class(&document.score().pieces[there.piece].piece, &there, &name) {
            Ok(class) => *tally.entry((format.name(), class)).or_default() += 1,
            Err(what) => unexplained.push(format!("{name}: {what}")),
        }
    }
    println!(
        "{compared} pieces with repeats in {} files compared",
        files.len()
    );
    for ((format, (what, why)), count) in &tally {
        println!("  {count:6} {format}: {what} {why}");
    }
    for what in &unexplained {
        println!("{what}");
    }
    assert!(compared > 50, "{compared}");
    assert!(unexplained.is_empty(), "{} unexplained", unexplained.len());
}
