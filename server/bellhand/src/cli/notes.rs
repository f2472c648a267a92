//! `bellhand notes`: the horn parts as their players read them.

use std::io::Write;

use files::{Input, JSON_VERSION, Outcome, input, place};
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
    let report = Report {
        version: JSON_VERSION,
        files: inputs.iter().map(file).collect(),
    };
    let mut out = anstream::stdout();
    match arguments.format {
        Shape::Json => {
            serde_json::to_writer_pretty(&mut out, &report)?;
            writeln!(out)?;
        }
        Shape::Text => text(&mut out, &report)?,
    }
    out.flush()?;
    Ok(Outcome::unless_failed(failures))
}

fn file(input: &Input) -> File {
    let pieces = input.judged.pieces();
    let parts = pieces
        .flat_map(|(base, reading)| {
            let horns = reading.horns.iter();
            horns.map(move |horn| part(input, base, horn))
        })
        .collect();
    File {
        path: input.shown(),
        parts,
    }
}

fn part(input: &Input, base: usize, horn: &HornPart) -> Part {
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
            .map(|(heard, by)| note(input, base, heard, &by))
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
fn aside(out: &mut impl Write, stretch: &Elsewhere) -> std::io::Result<()> {
    let until = stretch
        .back
        .map_or_else(|| "to the end".to_owned(), |bar| format!("until bar {bar}"));
    let Elsewhere { bar, words, .. } = stretch;
    writeln!(
        out,
        "{bar:>5} \"{words}\": another instrument {until}; not read as the horn's"
    )
}

fn note(input: &Input, base: usize, heard: &PlayedNote, by: &[(u8, &PlayedNote)]) -> Note {
    let at = place(input.judged.document(), base + heard.pitch_span.start);
    Note {
        bar: heard.number,
        offset: heard.offset.to_string(),
        length: heard.length.to_string(),
        written: heard.written.to_string(),
        sounding: heard.sounding.to_string(),
        midi: heard.sounding.midi(),
        register: heard.register.name(),
        technique: heard.technique.name(),
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

fn text(out: &mut impl Write, report: &Report) -> std::io::Result<()> {
    for file in &report.files {
        for part in &file.parts {
            writeln!(out, "{}: {} (horn in {})", file.path, part.name, part.crook)?;
            // A column for the players only where some share the staff.
            let shared = part.notes.iter().any(|note| !note.players.is_empty());
            let players = if shared { "players  " } else { "" };
            writeln!(
                out,
                "{:>5} {:>7} {:>7}  {:<8} {:<8} {:<12} {players}technique",
                "bar", "offset", "length", "written", "sounds", "register"
            )?;
            let mut stretches = part.elsewhere.iter().peekable();
            for (index, note) in part.notes.iter().enumerate() {
                while let Some(stretch) = stretches.next_if(|stretch| stretch.after <= index) {
                    aside(out, stretch)?;
                }
                let kind = match (note.grace, note.tied) {
                    (true, _) => ", grace note",
                    (_, true) => ", tied",
                    _ => "",
                };
                let players = if shared {
                    let numbers: Vec<String> = note
                        .players
                        .iter()
                        .map(|one| one.player.to_string())
                        .collect();
                    format!("{:<8} ", numbers.join(", "))
                } else {
                    String::new()
                };
                writeln!(
                    out,
                    "{:>5} {:>7} {:>7}  {:<8} {:<8} {:<12} {players}{}{kind}",
                    note.bar,
                    note.offset,
                    note.length,
                    note.written,
                    note.sounding,
                    note.register,
                    technique(note),
                )?;
            }
            for stretch in stretches {
                aside(out, stretch)?;
            }
            writeln!(out)?;
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
