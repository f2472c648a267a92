//! `bellhand draw`: horn parts in staff notation, as pictures or on pages.

use std::collections::HashMap;
use std::io::Write;
use std::path::{Path, PathBuf};

use engine::HornOf;
use files::sound::Sound;
use files::write::{self, Deferred};
use files::{Input, Outcome, complain, input, page};
use picture::{Drawing, Options, Paper, Subject, Turned};

use super::arguments::DrawArguments;
use super::chosen;

pub(crate) fn run(arguments: &DrawArguments) -> std::io::Result<Outcome> {
    let (inputs, mut failures) = input::read(&arguments.sources)?;
    // A drawing has no colours of a terminal's to be taken out, and is long.
    let mut out = Deferred::new(std::io::stdout());
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
    let paper = arguments.page.map(Paper::from);
    let draw = |part: &HornOf<'_>| {
        let subject = Subject {
            base: part.base,
            reading: part.reading,
            horn: part.horn,
            findings: judged.findings(),
        };
        let options = Options {
            pitch: arguments.pitch.into(),
            width: paper.map_or(f64::from(arguments.width), Paper::width),
            plain: arguments.plain,
            effort: !arguments.no_effort,
            fingering: arguments.fingering,
            seconds: arguments.seconds,
            ..Options::default()
        };
        picture::engrave(&subject, &options).map_err(|error| format!("cannot be drawn: {error}"))
    };
    let Some(folder) = &arguments.into else {
        let drawing = draw(&chosen::part(judged, named)?)?;
        let svg = drawing
            .whole()
            .map_err(|error| format!("cannot be drawn: {error}"))?;
        out.line(&svg);
        return Ok(());
    };
    std::fs::create_dir_all(folder)
        .map_err(|error| format!("the folder {} cannot be made: {error}", folder.display()))?;
    for part in chosen::parts(judged, named)? {
        let drawing = draw(&part)?;
        let (text, kind) = match paper {
            Some(paper) => {
                let sound = Sound::of(part.reading, part.horn, "");
                (pages(&drawing, paper, &sound), "html")
            }
            None => (drawing.whole(), "svg"),
        };
        let text = text.map_err(|error| format!("cannot be drawn: {error}"))?;
        let path = name(folder, input, &drawing, kind, names);
        write::put(&path, (text + "\n").as_bytes())
            .map_err(|error| format!("{} cannot be written: {error}", path.display()))?;
        out.line(path.display());
    }
    Ok(())
}

/// A part on pages that any browser prints; says which of them are turned in the midst of playing.
fn pages(drawing: &Drawing, paper: Paper, sound: &Sound) -> std::io::Result<String> {
    let (pages, turned) = drawing.pages(paper)?;
    for turn in turned {
        let Turned { page, bar, rest } = turn;
        complain(&format!(
            "{}: page {page} ends with bar {bar}, and the player has {:.1} s to turn it. Bellhand counts {:.0} s for a turn (its own choice): \
             put a rest there, or print on other paper.",
            drawing.part,
            rest.0.max(0.0),
            horn::time_to_turn_page().value.0,
        ));
    }
    let title: Vec<&str> = drawing
        .title
        .iter()
        .chain([&drawing.part])
        .map(String::as_str)
        .collect();
    Ok(format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<meta charset=\"utf-8\">\n<title>{}</title>\n<style>\n\
         @page {{ size: {}; margin: 0 }}\nbody {{ margin: 0 }}\n\
         body > svg {{ display: block; margin: 0 auto; break-after: page }}\n</style>\n<body>\n{}\n{}\n{}</body>\n</html>",
        quick_xml::escape::escape(title.join(", ")),
        paper.name(),
        pages.join("\n"),
        page::heard(sound)?,
        page::with_sound(),
    ))
}

/// A file for a picture: the score's name and the part's, numbered where several are called the same.
fn name(
    folder: &Path,
    input: &Input,
    drawing: &Drawing,
    kind: &str,
    names: &mut HashMap<PathBuf, u32>,
) -> PathBuf {
    let stem = input.path.file_stem().unwrap_or_default().to_string_lossy();
    let words: Vec<String> = drawing
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
    file.push(format!(".{kind}"));
    PathBuf::from(file)
}
