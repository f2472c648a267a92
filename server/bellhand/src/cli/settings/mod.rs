//! `bellhand settings`: every value in force, with where it was set, or a new file to start from.

mod learned;
mod new;
mod style;

use std::collections::BTreeSet;
use std::io::Write;
use std::path::Path;

use engine::{InForce, OnDisk};
use files::input::{complain_once, in_turn};
use files::{Narrowed, Outcome, Sources, complain};
use serde_json::{Value, json};

use super::arguments::{SettingsArguments, Shape};
use super::meant::did_you_mean;
use super::unmatched::Unmatched;

pub(crate) fn run(arguments: &SettingsArguments) -> std::io::Result<Outcome> {
    if arguments.new {
        return new::run(arguments);
    }
    let path = match arguments.paths.as_slice() {
        [] => Path::new("."),
        [path] => path,
        [..] => {
            complain("settings are shown for one score or folder; name one PATH");
            return Ok(Outcome::Failed);
        }
    };
    if let Err(error) = std::fs::metadata(path) {
        complain(&format!("{} cannot be read: {error}", path.display()));
        return Ok(Outcome::Failed);
    }
    let found = match &arguments.settings {
        Some(file) => engine::load(file, Some(path), &OnDisk),
        None => engine::discover(path, &OnDisk),
    };
    let failures = complain_once(found.errors);
    let mut values = found.settings.in_force(arguments.part.as_deref());
    if arguments.only_set {
        values.retain(|value| value.origin.is_some());
    }
    let mut out = anstream::stdout();
    match arguments.format {
        Shape::Text => write_text(&mut out, &values)?,
        Shape::Json => {
            let files: Vec<_> = found
                .files
                .iter()
                .map(|file| file.display().to_string())
                .collect();
            let values: Vec<Value> = values.iter().map(as_json).collect();
            writeln!(out, "{:#}", json!({ "files": files, "values": values }))?;
        }
    }
    out.flush()?;
    if failures == 0 {
        report_unmatched(path, arguments);
    }
    Ok(Outcome::unless_failed(failures))
}

/// Says where no score has the part that is asked for, and what the settings below a folder speak of that none of the
/// scores there is or has. Nothing is said where a score cannot be read.
fn report_unmatched(path: &Path, arguments: &SettingsArguments) {
    let sources = Sources {
        paths: vec![path.to_owned()],
        notation: None,
        settings: arguments.settings.clone(),
        stdin_name: None,
    };
    let mut unmatched = Unmatched::of(&sources.paths);
    if unmatched.is_none() && arguments.part.is_none() {
        return;
    }
    let mut called = BTreeSet::new();
    let unread = in_turn(&sources, &Narrowed::default(), |input| {
        let judged = &input.judged;
        let pieces = judged.document().score().pieces.iter();
        let parts = pieces.flat_map(|placed| &placed.piece.parts);
        let names = parts.filter_map(|part| Some(part.name.as_ref()?.text.clone()));
        called.extend(names);
        if let Some(unmatched) = &mut unmatched {
            let named = judged.settings().named();
            let met: Vec<bool> = named.iter().map(|one| one.is_in(judged)).collect();
            unmatched.add(named, &met, called.iter().cloned());
        }
    });
    if unread > 0 {
        return;
    }
    if let Some(unmatched) = unmatched {
        unmatched.report();
    }
    if let Some(part) = arguments
        .part
        .as_deref()
        .filter(|part| !called.contains(*part))
    {
        let instead = did_you_mean(part, called.iter().map(String::as_str));
        complain(&format!(
            "no part in {} is called \"{part}\", so these are the values for a part that is not there{instead}",
            path.display()
        ));
    }
}

/// Each value as a settings file says it, with where it was set behind it.
fn write_text(out: &mut impl Write, values: &[InForce]) -> std::io::Result<()> {
    let mut lines: Vec<(String, String)> = Vec::new();
    for value in values {
        let source = value.origin.as_ref().map_or_else(
            || "default".to_owned(),
            |origin| format!("{}:{}", origin.file.display(), origin.line),
        );
        lines.push((format!("{} = {}", key(&value.name), value.value), source));
    }
    let width = lines
        .iter()
        .map(|(said, _)| said.chars().count())
        .max()
        .unwrap_or(0);
    for (said, source) in lines {
        writeln!(out, "{said:<width$}  # {source}")?;
    }
    Ok(())
}

/// A name as a key with full stops; rules, and parts of odd names, stand in quotes.
fn key(name: &str) -> String {
    let Some((table, rest)) = name.split_once('.') else {
        return name.to_owned();
    };
    let bare = |key: &str| {
        let bare = |letter: char| letter.is_ascii_alphanumeric() || letter == '-';
        if !key.is_empty() && key.chars().all(bare) {
            key.to_owned()
        } else {
            json!(key).to_string()
        }
    };
    match (table, rest.split_once('.')) {
        // Only the name of a rule has another behind it.
        ("rules", Some((rule, setting))) => format!("rules.{}.{}", bare(rule), bare(setting)),
        _ => format!("{table}.{}", bare(rest)),
    }
}

fn as_json(value: &InForce) -> Value {
    let origin = value.origin.as_ref();
    json!({
        "name": value.name,
        "value": value.value,
        "file": origin.map(|origin| origin.file.display().to_string()),
        "line": origin.map(|origin| origin.line),
    })
}
