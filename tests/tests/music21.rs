//! The ABC reader against another reader: every note of the music21 package's corpus.
//!
//! Left out unless ignored tests are asked for, as `.ci/run` does; `BELLHAND_MUSIC21` then names the corpus folder.
//! Where the two differ, the difference has to be of a class that is listed here with the paragraph of ABC 2.1 that decides it.
#![expect(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "helpers fail loudly on what the script does not give, and the counts are the outcome"
)]

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::process::Command;

use notation::{Document, Format};
use score::{AlterationFrom, EventKind, Note, Part, Piece, Span};
use serde::Deserialize;

// What the script tells ------------------------------------------------------------------------------------------------

#[derive(Deserialize)]
struct OutsideFile {
    file: String,
    tunes: Vec<OutsideTune>,
}

#[derive(Deserialize)]
struct OutsideTune {
    base: usize,
    #[serde(default)]
    parts: Vec<Vec<(String, String, i32, bool)>>,
    failed: Option<String>,
}

/// A note as both sides know it; times in quarter notes.
#[derive(Debug, Clone)]
struct Heard {
    onset: f64,
    length: f64,
    midi: i32,
    grace: bool,
}

impl Heard {
    fn outside((onset, length, midi, grace): &(String, String, i32, bool)) -> Self {
        Self {
            onset: quarters(onset),
            length: quarters(length),
            midi: *midi,
            grace: *grace,
        }
    }
}

fn quarters(text: &str) -> f64 {
    let (over, under) = text.split_once('/').unwrap_or((text, "1"));
    over.parse::<f64>().unwrap() / under.parse::<f64>().unwrap()
}

fn near(one: f64, other: f64) -> bool {
    (one - other).abs() < 1e-4
}

/// A note as this reader has it, with the text on both its sides.
#[derive(Debug, Clone)]
struct Read<'t> {
    heard: Heard,
    chord: bool,
    from: AlterationFrom,
    own: &'t str,
    /// Where the next note begins.
    next: usize,
    /// From the note before to this one, as `before`.
    gap: String,
    /// From the note before to this one (for a note that is no grace note, from the last such note), words in
    /// quotes left out but for their first sign.
    before: String,
    /// From this note to the next of its kind.
    after: String,
    /// The line it stands in, up to it.
    line: &'t str,
}

fn read<'t>(part: &Part, base: usize, end: usize, text: &'t str) -> Vec<Read<'t>> {
    let notes: Vec<_> = part
        .events()
        .filter_map(|placed| match &placed.event.kind {
            EventKind::Note(note) => Some((placed.span().shifted(base), placed.onset, note)),
            _ => None,
        })
        .collect();
    let between = |from: usize, to: usize| {
        // A tie belongs to its note, yet stands between.
        let tie = text[..from].len() - text[..from].trim_end_matches('-').len();
        plain(text.get(from - tie..to.max(from)).unwrap_or_default())
    };
    (0..notes.len())
        .map(|index| {
            let (span, onset, note) = &notes[index];
            let line = text[..span.start].rfind('\n').map_or(0, |at| at + 1);
            let line_end = text[span.end..].find('\n').map_or(end, |at| at + span.end);
            let gap = index.checked_sub(1).map_or(line, |at| notes[at].0.end);
            let next = notes.get(index + 1).map_or(end, |other| other.0.start);
            // A chord's notes stand together.
            let head = (0..=index).rev().find(|&at| !notes[at].2.chord);
            let head = head.unwrap_or_default();
            let last = (index + 1..notes.len()).find(|&at| !notes[at].2.chord);
            let last = last.unwrap_or(notes.len()) - 1;
            let alike = |other: &&(Span, _, &Note)| note.grace || !other.2.grace;
            let earlier = notes[..head].iter().rev().find(alike);
            let earlier = earlier.map_or(line, |other| other.0.end);
            let later = notes[last + 1..].iter().find(alike);
            let later = later.map_or(line_end, |other| other.0.start);
            Read {
                heard: Heard {
                    onset: onset.to_f64(),
                    length: note.length.to_f64(),
                    midi: note.written.midi(),
                    grace: note.grace,
                },
                chord: note.chord,
                from: note.alteration_from,
                next,
                gap: between(gap, span.start),
                own: &text[span.range()],
                before: between(earlier, notes[head].0.start),
                after: between(notes[last].0.end, later),
                line: &text[line..span.start],
            }
        })
        .collect()
}

/// Text between notes without the words in quotes; the quotes and the first sign in them stay.
fn plain(text: &str) -> String {
    let mut out = String::new();
    for (index, stretch) in text.split('"').enumerate() {
        if index % 2 == 0 {
            out.push_str(stretch);
        } else {
            out.push('"');
            out.extend(stretch.chars().take(1));
            out.push('"');
        }
    }
    out
}

// Classes of difference ------------------------------------------------------------------------------------------------

/// A class of difference: what music21 does, and the section of ABC 2.1 that says otherwise.
type Class = (&'static str, &'static str);

const BROKEN_APART: Class = (
    "broken rhythm is lost where a slur, mark, word or grace note stands beside its sign",
    "4.4, 4.12, 4.20",
);
const GRACE_IN_TUPLET: Class = ("grace notes use up a tuplet", "4.12, 4.13");
const FERMATA: Class = ("a note after H is left out", "4.14");
const WORDS: Class = ("a note under words that begin with > is left out", "4.19");
const SLASHES: Class = ("a number before // counts as halves", "4.3");
const SIGNED: Class = (
    "an accidental after a sign such as T does not reach the notes after it",
    "11.3, 4.20",
);
const GRACE_CHORD: Class = ("chords among grace notes take time", "4.12");
const CHORD_ACCIDENTAL: Class = (
    "an accidental in a chord does not reach the notes after it, nor those in it",
    "11.3, 4.17",
);
const BROKEN_TWICE: Class = (
    "of two broken rhythms that share a note, the note takes the second alone",
    "4.4",
);
const RESTS: Class = (
    "rests x and Z, and those after H, take no time",
    "4.5, 4.14",
);
const TIE: Class = ("an accidental is lost at a tie over the barline", "4.11");

/// Goes along two readings of one part; gives the number of notes that agree, or the first difference of no class.
fn compare(
    ours: &[Read<'_>],
    theirs: &[Heard],
    found: &mut BTreeMap<Class, usize>,
) -> Result<usize, (usize, String)> {
    let (mut mine, mut other) = (0, 0);
    // How much later a note is here than there, now and after the present note.
    let (mut late, mut then_late) = (0.0, 0.0);
    let mut agreeing = 0;
    // Why the note before was left out there, if it was, and whether a broken rhythm's sign stood before it.
    let mut lone: Option<(Class, bool)> = None;
    loop {
        let Some(note) = ours.get(mine) else {
            return match theirs.get(other) {
                None => Ok(agreeing),
                Some(extra) => Err((usize::MAX, format!("{extra:?} is not here"))),
            };
        };
        if !note.chord {
            late = then_late;
        }
        let dropped = if note.chord {
            lone.as_ref().map(|lone| lone.0)
        } else {
            dropped(&note.gap)
        };
        let beside = lone.as_ref().is_some_and(|lone| lone.1) || note.before.contains(['<', '>']);
        let beside = lone.is_some() && beside;
        if let Some(that) = theirs.get(other).filter(|_| dropped.is_none()) {
            let pitch = note.heard.midi == that.midi;
            let grace = note.heard.grace == that.grace;
            let length = near(note.heard.length, that.length);
            let onset = near(note.heard.onset, that.onset + late);
            let class = match (pitch, grace, length, onset) {
                (true, true, true, true) => {
                    agreeing += 1;
                    lone = None;
                    mine += 1;
                    other += 1;
                    continue;
                }
                (true, true, true, false) if silent(&note.before) => {
                    late = note.heard.onset - that.onset;
                    then_late = late;
                    Some(RESTS)
                }
                (true, true, true, false) if beside => {
                    late = note.heard.onset - that.onset;
                    then_late = late;
                    Some(FERMATA)
                }
                (true, false, _, true) if note.heard.grace && in_chord(note) => Some(GRACE_CHORD),
                (true, true, false, false) if apart(&note.before) && note.before.contains('z') => {
                    late = note.heard.onset - that.onset;
                    Some(BROKEN_APART)
                }
                (true, true, false, true)
                    if note.before.contains(['<', '>']) && note.after.contains(['<', '>']) =>
                {
                    Some(BROKEN_TWICE)
                }
                (true, true, false, true)
                    if (apart(&note.before) || apart(&note.after))
                        && broken(note.heard.length / that.length) =>
                {
                    Some(BROKEN_APART)
                }
                // The sign beside a note that was left out goes to its neighbour.
                (true, true, false, true) if beside => Some(FERMATA),
                (true, true, false, true) if dropped_next(&note.after) => Some(FERMATA),
                (true, true, false, true) if in_tuplet_with_grace(note) => Some(GRACE_IN_TUPLET),
                (true, true, false, true) if note.own.contains("//") => Some(SLASHES),
                (false, true, true, true) => match note.from {
                    AlterationFrom::Tie => Some(TIE),
                    AlterationFrom::Bar if signed(note.line) => Some(SIGNED),
                    AlterationFrom::Bar if in_chord(note) || note.line.contains("]") => {
                        Some(CHORD_ACCIDENTAL)
                    }
                    _ => None,
                },
                _ => None,
            };
            if let Some(class) = class {
                *found.entry(class).or_default() += 1;
                if !note.chord {
                    then_late = late + note.heard.length - that.length;
                }
                lone = None;
                mine += 1;
                other += 1;
                continue;
            }
        }
        let Some(class) = dropped else {
            return Err((
                note.next,
                format!(
                    "{note:?} is {:?} there, {late} earlier, note {mine}",
                    theirs.get(other)
                ),
            ));
        };
        if !note.chord {
            lone = Some((class, note.before.contains(['<', '>'])));
        }
        *found.entry(class).or_default() += 1;
        if !note.chord {
            then_late = late + note.heard.length;
        }
        mine += 1;
    }
}

/// Whether a note is changed by this factor when a broken rhythm on one or both of its sides is lost, or when one
/// that was lost elsewhere went to it.
fn broken(factor: f64) -> bool {
    const ONE_SIDE: [f64; 7] = [1.0, 1.5, 0.5, 1.75, 0.25, 1.875, 0.125];
    ONE_SIDE
        .iter()
        .any(|one| ONE_SIDE.iter().any(|other| near(factor, one * other)))
}

/// Whether a broken rhythm's sign has more than white space beside it.
fn apart(between: &str) -> bool {
    let signs = between.replace("\">\"", "\"").replace("\"<\"", "\"");
    let signs: String = signs.split_whitespace().collect();
    signs.contains(['<', '>'])
        && !signs.chars().all(|sign| sign == '<')
        && !signs.chars().all(|sign| sign == '>')
}

/// Whether a rest stands there that music21 passes over.
fn silent(between: &str) -> bool {
    between.contains(['x', 'X', 'Z', 'H'])
}

/// Why music21 leaves a note out that has this before it, if it does.
fn dropped(before: &str) -> Option<Class> {
    if before
        .split('"')
        .nth(1)
        .is_some_and(|words| words.starts_with('>'))
    {
        return Some(WORDS);
    }
    let head = before.trim_end_matches(['.', '~', 'u', 'v', 'T', '`']);
    let alone = |head: &str| !head.ends_with(['.', '~', 'T', 'u', 'v', '"']);
    head.strip_suffix('H').is_some_and(alone).then_some(FERMATA)
}

/// Whether the next note is left out.
fn dropped_next(after: &str) -> bool {
    after.ends_with('H')
}

fn in_tuplet_with_grace(note: &Read<'_>) -> bool {
    let tuplet = note.line.rfind("(3").or_else(|| note.line.rfind("(2"));
    tuplet.is_some_and(|at| note.line[at..].contains('{'))
}

/// Whether a note stands in a chord.
fn in_chord(note: &Read<'_>) -> bool {
    note.chord || note.line.ends_with('[')
}

/// Whether an accidental stands behind a sign.
fn signed(line: &str) -> bool {
    line.as_bytes()
        .windows(2)
        .any(|pair| b"~HLMOPSTuv.".contains(&pair[0]) && b"^_=".contains(&pair[1]))
}

const NOT_ABC: Class = (
    "text that is no ABC, as this reader says, is taken for music before the first difference",
    "2.2, 4",
);

/// Why a tune cannot be compared at all: what music21 does, and the section that says otherwise.
fn set_aside(piece: &Piece, text: &str, parts: usize) -> Option<Class> {
    let body = text.get(piece.span.range()).unwrap_or_default();
    let music = |line: &&str| !line.starts_with('%') && line.get(1..2) != Some(":");
    if parts != piece.parts.len() || piece.parts.len() > 1 {
        return Some((
            "voices that take turns, or are called within a line, are not told apart",
            "7",
        ));
    }
    let rest = text.get(piece.span.end..).unwrap_or_default();
    if rest.lines().any(|line| line.contains('|')) {
        return Some(("a tune goes on after an empty line", "2.2.1"));
    }
    if body.lines().filter(music).any(|line| {
        line.as_bytes().windows(2).enumerate().any(|(at, pair)| {
            pair[0].is_ascii_uppercase()
                && pair[1] == b':'
                && line.as_bytes().get(at + 2) != Some(&b'|')
        })
    }) {
        return Some(("a note before :: is taken for a field", "3"));
    }
    None
}

// The test -------------------------------------------------------------------------------------------------------------

#[test]
#[ignore = "needs the corpus folder of music21 in BELLHAND_MUSIC21; .ci/run fetches it"]
fn notes_agree_with_music21() {
    let corpus = std::env::var("BELLHAND_MUSIC21").unwrap();
    let script = support::home().join("outside/notes_of.py");
    let output = Command::new("python3")
        .arg(script)
        .arg(&corpus)
        .output()
        .unwrap();
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let mut tally = Tally::default();
    for line in String::from_utf8(output.stdout).unwrap().lines() {
        tally.file(&serde_json::from_str(line).unwrap());
    }
    tally.print();
    assert!(tally.notes > 0, "no notes were compared");
    assert!(
        tally.unexplained.is_empty(),
        "{} differences of no class:\n{}",
        tally.unexplained.len(),
        tally.unexplained[..tally.unexplained.len().min(20)].join("\n")
    );
}

#[derive(Default)]
struct Tally {
    files: usize,
    tunes: usize,
    notes: usize,
    agreeing: usize,
    differing: BTreeMap<Class, usize>,
    aside: BTreeMap<Class, (usize, BTreeSet<String>)>,
    unexplained: Vec<String>,
    errors: Vec<String>,
}

impl Tally {
    fn file(&mut self, outside: &OutsideFile) {
        let path = Path::new(&outside.file);
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let document = Document::from_bytes(Format::Abc, &std::fs::read(path).unwrap()).unwrap();
        let text = document.text();
        self.files += 1;
        if document
            .tree()
            .is_some_and(|tree| tree.root_node().has_error())
        {
            self.errors.push(name.clone());
        }
        let pieces = &document.score().pieces;
        if pieces.len() != outside.tunes.len() {
            self.unexplained.push(format!(
                "{name}: {} tunes here, {} there",
                pieces.len(),
                outside.tunes.len()
            ));
        }
        for (index, tune) in outside.tunes.iter().enumerate() {
            let place = format!("{name}, byte {}", tune.base);
            let Some(placed) = pieces.iter().find(|placed| placed.base == tune.base) else {
                self.unexplained.push(format!("{place}: no tune here"));
                continue;
            };
            if let Some(failed) = &tune.failed {
                self.unexplained.push(format!("{place}: {failed}"));
                continue;
            }
            let own = text.get(tune.base..).unwrap_or_default();
            let next = outside.tunes.get(index + 1);
            let own = &own[..next.map_or(own.len(), |next| next.base - tune.base)];
            if let Some(why) = set_aside(&placed.piece, own, tune.parts.len()) {
                self.set_aside(why, &name);
                continue;
            }
            for (part, theirs) in placed.piece.parts.iter().zip(&tune.parts) {
                let end = tune.base + placed.piece.span.end;
                let ours = read(part, tune.base, end, &text);
                let theirs: Vec<Heard> = theirs.iter().map(Heard::outside).collect();
                let mut found = BTreeMap::new();
                match compare(&ours, &theirs, &mut found) {
                    Ok(agreeing) => {
                        self.tunes += 1;
                        self.notes += ours.len();
                        self.agreeing += agreeing;
                        for (class, count) in found {
                            *self.differing.entry(class).or_default() += count;
                        }
                    }
                    Err((at, why)) => {
                        // What this reader could not read, and said so, may be read there in some way.
                        let known = placed.piece.unreadable.iter();
                        let first = known.map(|slip| slip.span.start + tune.base).min();
                        if first.is_some_and(|first| first <= at) {
                            self.set_aside(NOT_ABC, &name);
                        } else {
                            self.unexplained.push(format!("{place}: {why}"));
                        }
                    }
                }
            }
        }
    }

    fn set_aside(&mut self, why: Class, file: &str) {
        let (tunes, files) = self.aside.entry(why).or_default();
        *tunes += 1;
        files.insert(file.to_owned());
    }

    fn print(&self) {
        println!(
            "{} files, {} tunes compared, {} notes compared, {} agree",
            self.files, self.tunes, self.notes, self.agreeing
        );
        println!("{} differ:", self.notes.saturating_sub(self.agreeing));
        for ((what, section), count) in &self.differing {
            println!("  {count:6}  music21: {what} (ABC 2.1, {section})");
        }
        println!("set aside:");
        for ((what, section), (tunes, files)) in &self.aside {
            println!(
                "  {tunes:6} tunes in {} files: {what} (ABC 2.1, {section})",
                files.len()
            );
        }
        println!("{} files hold a node that is an error", self.errors.len());
        for file in &self.errors {
            println!("  {file}");
        }
    }
}
