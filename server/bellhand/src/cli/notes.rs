//! `bellhand notes`: the horn parts as their players read them.

use std::io::Write;

use files::{Input, JSON_VERSION, Outcome, Places, input};
use reading::{Absence, HornPart, PlayedNote};
use serde::Serialize;

use super::arguments::{NotesArguments, Shape};

#[derive(Serialize)]
struct Report {
    version: u32,
    files: Vec<File>,
}

#[derive(Serialize)]
struct File {
    path: String,
    parts: Vec<Part>,
}

#[derive(Serialize)]
struct Part {
    name: String,
    crook: String,
    notes: Vec<Note>,
    /// Stretches played on another instrument, whose notes are not the horn's.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    elsewhere: Vec<Elsewhere>,
}

/// A stretch played on another instrument.
#[derive(Serialize)]
struct Elsewhere {
    bar: u32,
    words: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    back: Option<u32>,
    /// How many of the horn's notes stand before it.
    #[serde(skip)]
    after: usize,
}

#[derive(Serialize)]
struct Note {
    bar: u32,
    offset: String,
    length: String,
    written: String,
    sounding: String,
    midi: i32,
    register: &'static str,
    technique: &'static str,
    /// When it begins in each pass, in the order of performance; nothing where the order cannot be decided.
    seconds: Option<Vec<f64>>,
    line: usize,
    column: usize,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    grace: bool,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    tied: bool,
    /// Who plays it, where several players share the staff.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    players: Vec<Player>,
}

/// One of a staff's players at a note.
#[derive(Serialize)]
struct Player {
    player: u8,
    technique: &'static str,
}

pub(crate) fn run(arguments: &NotesArguments) -> std::io::Result<Outcome> {
    let (inputs, failures) = input::read(&arguments.sources)?;
    if let Some(file) = &arguments.midi {
        return super::midi::write(file, &inputs, failures, arguments.all_parts);
    }
    let report = Report {
        version: JSON_VERSION,
        files: inputs.iter().map(file).collect(),
    };
    match arguments.format {
        Shape::Json => {
            let mut out = std::io::BufWriter::new(std::io::stdout());
            serde_json::to_writer_pretty(&mut out, &report)?;
            writeln!(out)?;
            out.flush()?;
        }
        Shape::Text => {
            let mut out = anstream::stdout();
            text(&mut out, &report)?;
            out.flush()?;
        }
    }
    Ok(Outcome::unless_failed(failures))
}

fn file(input: &Input) -> File {
    let places = Places::of(input.judged.document());
    let places = &places;
    let pieces = input.judged.pieces();
    let parts = pieces
        .flat_map(|(base, reading)| {
            let horns = reading.horns.iter();
            horns.map(move |horn| part(places, base, horn))
        })
        .collect();
    File {
        path: input.shown(),
        parts,
    }
}

fn part(places: &Places<'_>, base: usize, horn: &HornPart) -> Part {
    let passes = horn.performed.passes();
    let decided = horn.performed.undecided.is_none();
    let seconds = |heard: &PlayedNote| {
        let later = passes.get(heard.bar).filter(|_| decided)?;
        let starts = later.iter().map(|later| heard.starts.0 + later.0);
        // Thousandths are finer than anybody plays.
        Some(starts.map(|at| (at * 1000.0).round() / 1000.0).collect())
    };
    Part {
        name: horn.label.clone(),
        crook: horn
            .crook
            .crook
            .map_or_else(String::new, |crook| crook.name().to_owned()),
        notes: horn
            .notes
            .iter()
            .zip(horn.played_by())
            .map(|(heard, by)| note(places, base, heard, &by, seconds(heard)))
            .collect(),
        elsewhere: horn
            .absences
            .iter()
            .map(|absence| elsewhere(absence, horn))
            .collect(),
    }
}

fn elsewhere(absence: &Absence, horn: &HornPart) -> Elsewhere {
    Elsewhere {
        bar: absence.number,
        words: absence.words.clone(),
        back: absence.back.map(|(bar, _)| bar),
        after: horn.notes.partition_point(|note| note.onset < absence.from),
    }
}

/// A line about a stretch on another instrument.
fn aside(out: &mut impl Write, width: usize, stretch: &Elsewhere) -> std::io::Result<()> {
    let until = stretch
        .back
        .map_or_else(|| "to the end".to_owned(), |bar| format!("until bar {bar}"));
    let Elsewhere { bar, words, .. } = stretch;
    writeln!(
        out,
        "{bar:>width$}  \"{words}\": another instrument {until}; not read as the horn's"
    )
}

fn note(
    places: &Places<'_>,
    base: usize,
    heard: &PlayedNote,
    by: &[(u8, &PlayedNote)],
    seconds: Option<Vec<f64>>,
) -> Note {
    let at = places.place(base + heard.pitch_span.start);
    Note {
        bar: heard.number,
        offset: heard.offset.to_string(),
        length: heard.length.to_string(),
        written: heard.written.to_string(),
        sounding: heard.sounding.to_string(),
        midi: heard.sounding.midi(),
        register: heard.register.name(),
        technique: heard.technique.name(),
        seconds,
        line: at.line,
        column: at.column,
        grace: heard.grace,
        tied: heard.tied_from,
        players: by
            .iter()
            .map(|(player, own)| Player {
                player: *player,
                technique: own.technique.name(),
            })
            .collect(),
    }
}

/// How a note is played, by each player where they differ: `1. muted, 2. open`.
fn technique(note: &Note) -> String {
    match &note.players[..] {
        [first, rest @ ..] if rest.iter().any(|one| one.technique != first.technique) => {
            let each: Vec<String> = note
                .players
                .iter()
                .map(|one| format!("{}. {}", one.player, one.technique))
                .collect();
            each.join(", ")
        }
        _ => note.technique.to_owned(),
    }
}

/// A column of the list: what it says, in what it counts, and on which side its words stand.
struct Column {
    title: &'static str,
    unit: &'static str,
    right: bool,
}

const fn column(title: &'static str, unit: &'static str, right: bool) -> Column {
    Column { title, unit, right }
}

/// The columns of every list; that of the players stands before the technique, where some share the staff.
const COLUMNS: [Column; 9] = [
    column("bar", "", true),
    column("offset", "quarters", true),
    column("length", "quarters", true),
    column("written", "", false),
    column("sounding", "", false),
    column("register", "", false),
    column("technique", "", false),
    column("begins", "seconds", false),
    column("place", "line:column", false),
];
const PLAYERS: Column = column("players", "", false);
/// Where the players' column stands.
const AT: usize = COLUMNS.len() - 3;

/// What a note's line says in each column.
fn cells(note: &Note, shared: bool) -> Vec<String> {
    let kind = match (note.grace, note.tied) {
        (true, _) => ", grace note",
        (_, true) => ", tied",
        _ => "",
    };
    let mut cells = vec![
        note.bar.to_string(),
        note.offset.clone(),
        note.length.clone(),
        note.written.clone(),
        note.sounding.clone(),
        note.register.to_owned(),
        technique(note) + kind,
        times(note),
        format!("{}:{}", note.line, note.column),
    ];
    if shared {
        let numbers = note.players.iter().map(|one| one.player.to_string());
        cells.insert(AT, numbers.collect::<Vec<_>>().join(", "));
    }
    cells
}

/// When a note begins in each pass, in the order of performance.
fn times(note: &Note) -> String {
    let Some(passes) = &note.seconds else {
        return "not known".to_owned();
    };
    let each = passes.iter().map(|seconds| format!("{seconds:.1}"));
    each.collect::<Vec<_>>().join(", ")
}

/// Words in columns, without what would stand behind the last.
fn line<'a>(
    columns: &[&Column],
    widths: &[usize],
    words: impl IntoIterator<Item = &'a str>,
) -> String {
    let mut line = String::new();
    for ((column, width), words) in columns.iter().zip(widths).zip(words) {
        line += &if column.right {
            format!("{words:>width$}  ")
        } else {
            format!("{words:<width$}  ")
        };
    }
    line.truncate(line.trim_end().len());
    line
}

fn list(out: &mut impl Write, part: &Part) -> std::io::Result<()> {
    let shared = part.notes.iter().any(|note| !note.players.is_empty());
    let mut columns: Vec<&Column> = COLUMNS.iter().collect();
    if shared {
        columns.insert(AT, &PLAYERS);
    }
    let rows: Vec<Vec<String>> = part.notes.iter().map(|note| cells(note, shared)).collect();
    let widths: Vec<usize> = columns
        .iter()
        .enumerate()
        .map(|(at, column)| {
            let cells = rows.iter().filter_map(|row| row.get(at));
            let cells = cells.map(|cell| cell.chars().count());
            let head = column.title.len().max(column.unit.len());
            cells.fold(head, usize::max)
        })
        .collect();
    let titles = columns.iter().map(|column| column.title);
    let units = columns.iter().map(|column| column.unit);
    writeln!(out, "{}", line(&columns, &widths, titles))?;
    writeln!(out, "{}", line(&columns, &widths, units))?;
    let bars = widths.first().copied().unwrap_or_default();
    let mut stretches = part.elsewhere.iter().peekable();
    for (index, row) in rows.iter().enumerate() {
        while let Some(stretch) = stretches.next_if(|stretch| stretch.after <= index) {
            aside(out, bars, stretch)?;
        }
        let row = row.iter().map(String::as_str);
        writeln!(out, "{}", line(&columns, &widths, row))?;
    }
    for stretch in stretches {
        aside(out, bars, stretch)?;
    }
    writeln!(out)
}

fn text(out: &mut impl Write, report: &Report) -> std::io::Result<()> {
    for file in &report.files {
        for part in &file.parts {
            writeln!(out, "{}: {} (horn in {})", file.path, part.name, part.crook)?;
            list(out, part)?;
        }
        if file.parts.is_empty() {
            writeln!(
                out,
                "{}: no horn part; name it, or write a comment: bellhand: part 1 = horn in F",
                file.path
            )?;
        }
    }
    Ok(())
}
