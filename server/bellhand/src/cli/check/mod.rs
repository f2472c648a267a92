//! `bellhand check`: findings as text, as a page, or for programs.

mod excerpt;
mod formats;
mod music;
mod outputs;
mod tally;
mod verdict;

use std::io::Write;
use std::path::Path;

use engine::SettingsError;
use formats::{Score, Shape};
use outputs::Output;
use tally::Tally;
use verdict::Verdict;

use super::Outcome;
use super::arguments::{CheckArguments, Report};
use super::input::{self, Held};

/// What one score came to: what goes into each report, and how much was found.
struct Reported {
    chunks: Vec<Vec<u8>>,
    tally: Tally,
}

pub(crate) fn run(arguments: &CheckArguments) -> std::io::Result<Outcome> {
    let (files, failures) = input::found(&arguments.sources);
    // Only the text has colours to take out, and all of them would go out by single words.
    let out: Box<dyn Write> = match arguments.format {
        Report::Text => Box::new(anstream::stdout()),
        Report::Json | Report::Html | Report::Sarif => Box::new(std::io::stdout()),
    };
    let shapes = [formats::shape(arguments.format)];
    let mut output = Output::begun(shapes[0].as_ref(), out)?;
    let mut sum = Tally::default();
    let unread = input::each(
        &files,
        &input::progress(files.len()),
        |number, path| reported(number, path, arguments, &shapes),
        |reported| {
            sum.add(&reported.tally);
            reported
                .chunks
                .iter()
                .try_for_each(|chunk| output.add(chunk))
        },
    )?;
    output.end(&sum)?;
    Ok(if failures + unread.len() > 0 {
        Outcome::Failed
    } else if sum.reaches(arguments.fail_on) {
        Outcome::Findings
    } else {
        Outcome::Clean
    })
}

/// Reads a score, makes what is reported of it, and lets it go.
fn reported(
    number: usize,
    path: &Path,
    arguments: &CheckArguments,
    shapes: &[Box<dyn Shape>],
) -> Result<(Reported, Vec<SettingsError>), String> {
    let (held, errors) = Held::of(path, &arguments.sources)?;
    let input = held.judged()?;
    let wanted = formats::wanted(shapes);
    let verdict = Verdict::of(&input.judged, wanted);
    let score = Score {
        number,
        path,
        verdict: &verdict,
        judged: Some(&input.judged),
    };
    let chunks = shapes.iter().map(|shape| shape.score(&score));
    let reported = Reported {
        chunks: chunks
            .collect::<Result<_, _>>()
            .map_err(|error| format!("{}: {error}", path.display()))?,
        tally: Tally::of(&verdict),
    };
    Ok((reported, errors))
}
