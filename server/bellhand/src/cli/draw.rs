//! `bellhand draw`: horn parts as pictures.

use std::collections::HashMap;
use std::io::Write;
use std::path::{Path, PathBuf};

use engine::HornOf;
use files::write::{self, Deferred};
use files::{Input, Outcome, complain, input};
use picture::{Options, Picture, Subject};

use super::arguments::DrawArguments;
use super::chosen;

pub(crate) fn run(arguments: &DrawArguments) -> std::io::Result<Outcome> {
    let (inputs, mut failures) = input::read(&arguments.sources)?;
    let mut out = Deferred::new(anstream::stdout());
    let mut names = HashMap::new();
    if arguments.into.is_none() && inputs.len() > 1 {
        complain("several scores are drawn into a folder; say --into FOLDER");
        return Ok(Outcome::Failed);
    }
    for input in &inputs {
        if let Err(why) = drawn(&mut out, input, arguments, &mut names) {
            complain(&format!("{}: {why}", input.shown()));
            failures += 1;
        }
    }
    out.end()?;
    Ok(Outcome::unless_failed(failures))
}

/// Draws what is asked for of one score; `names` counts how often each file name was given.
fn drawn<W: Write>(
    out: &mut Deferred<W>,
    input: &Input,
    arguments: &DrawArguments,
    names: &mut HashMap<PathBuf, u32>,
) -> Result<(), String> {
    let judged = &input.judged;
    let named = arguments.part.as_deref();
    let draw = |part: &HornOf<'_>| {
        let subject = Subject {
            base: part.base,
            reading: part.reading,
            horn: part.horn,
            findings: judged.findings(),
        };
        let options = Options {
            pitch: arguments.pitch.into(),
            width: f64::from(arguments.width),
            ..Options::default()
        };
        picture::draw(&subject, &options).map_err(|error| format!("cannot be drawn: {error}"))
    };
    let Some(folder) = &arguments.into else {
        let picture = draw(&chosen::part(judged, named)?)?;
        out.line(&picture.svg);
        return Ok(());
    };
    std::fs::create_dir_all(folder)
        .map_err(|error| format!("the folder {} cannot be made: {error}", folder.display()))?;
    for part in chosen::parts(judged, named)? {
        let picture = draw(&part)?;
        let path = name(folder, input, &picture, names);
        write::put(&path, (picture.svg + "\n").as_bytes())
            .map_err(|error| format!("{} cannot be written: {error}", path.display()))?;
        out.line(path.display());
    }
    Ok(())
}

/// A file for a picture: the score's name and the part's, numbered where several are called the same.
fn name(
    folder: &Path,
    input: &Input,
    picture: &Picture,
    names: &mut HashMap<PathBuf, u32>,
) -> PathBuf {
    let stem = input.path.file_stem().unwrap_or_default().to_string_lossy();
    let words: Vec<String> = picture
        .part
        .split(|letter: char| !letter.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect();
    let plain = folder.join(format!("{stem}-{}", words.join("-")));
    let count = names.entry(plain.clone()).or_default();
    *count += 1;
    let mut file = plain.into_os_string();
    if *count > 1 {
        file.push(format!("-{count}"));
    }
    file.push(".svg");
    PathBuf::from(file)
}
