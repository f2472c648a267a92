//! `bellhand notes`: the horn parts as their players read them.

use std::io::Write;

use engine::Analyser;
use reading::{HornPart, PlayedNote};
use serde::Serialize;

use super::Outcome;
use super::arguments::{NotesArguments, Shape};
use super::input::{self, Input};
use super::json::VERSION;
use super::place::place;

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
}

pub(crate) fn run(arguments: &NotesArguments) -> std::io::Result<Outcome> {
    let (inputs, failures) = input::read(&arguments.sources);
    let report = Report {
        version: VERSION,
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
    let analysis = Analyser::new().analyse(&input.document, &input.settings);
    let parts = analysis
        .pieces
        .iter()
        .flat_map(|(base, reading)| {
            reading
                .horns
                .iter()
                .map(move |horn| part(input, *base, horn))
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
            .map(|heard| note(input, base, heard))
            .collect(),
    }
}

fn note(input: &Input, base: usize, heard: &PlayedNote) -> Note {
    let at = place(&input.document, base + heard.pitch_span.start);
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
    }
}

fn text(out: &mut impl Write, report: &Report) -> std::io::Result<()> {
    for file in &report.files {
        for part in &file.parts {
            writeln!(out, "{}: {} (horn in {})", file.path, part.name, part.crook)?;
            writeln!(
                out,
                "{:>5} {:>7} {:>7}  {:<8} {:<8} {:<12} technique",
                "bar", "offset", "length", "written", "sounds", "register"
            )?;
            for note in &part.notes {
                let kind = match (note.grace, note.tied) {
                    (true, _) => ", grace note",
                    (_, true) => ", tied",
                    _ => "",
                };
                writeln!(
                    out,
                    "{:>5} {:>7} {:>7}  {:<8} {:<8} {:<12} {}{kind}",
                    note.bar,
                    note.offset,
                    note.length,
                    note.written,
                    note.sounding,
                    note.register,
                    note.technique,
                )?;
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
