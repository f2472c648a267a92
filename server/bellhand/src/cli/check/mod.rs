//! `bellhand check`: findings in many shapes, for people and for programs.

mod excerpt;
mod formats;
mod identity;
mod music;
mod outputs;
mod tally;
mod verdict;

use std::io::{IsTerminal as _, Write as _};
use std::path::Path;

use engine::SettingsError;
use formats::{Ending, Score, Shape};
use indicatif::ProgressBar;
use outputs::{Output, Sink};
use tally::Tally;
use verdict::Verdict;

use super::arguments::{CheckArguments, FailOn, Report};
use super::input::{self, Held};
use super::{Outcome, complain, write};

/// What one score came to: what goes into each report, and how much was found.
struct Reported {
    chunks: Vec<Vec<u8>>,
    tally: Tally,
}

pub(crate) fn run(arguments: &CheckArguments) -> std::io::Result<Outcome> {
    let shapes = shapes(arguments);
    let mut outputs = match begun(arguments, &shapes)? {
        Ok(outputs) => outputs,
        Err(why) => {
            complain(&why);
            return Ok(Outcome::Failed);
        }
    };
    let (files, mut complaints) = input::found(&arguments.sources, &arguments.narrowed);
    let mut sum = Tally::default();
    let unread = input::each(
        &files,
        &bar(arguments, files.len()),
        |number, path| reported(number, path, arguments, &shapes),
        |reported| {
            sum.add(&reported.tally);
            let mut each = outputs.iter_mut().zip(&reported.chunks);
            each.try_for_each(|(output, chunk)| output.add(chunk))
        },
    )?;
    complaints.extend(unread);
    let outcome = outcome(arguments.fail_on, &complaints, &sum);
    let more = if arguments.statistics {
        sum.statistics()
    } else {
        String::new()
    };
    let ending = Ending {
        tally: &sum,
        any: false,
        complaints: &complaints,
        outcome,
        more: &more,
    };
    outputs
        .into_iter()
        .try_for_each(|output| output.end(&ending))?;
    if arguments.format != Report::Text {
        anstream::stderr().write_all(more.as_bytes())?;
    }
    Ok(outcome)
}

fn outcome(fail_on: FailOn, complaints: &[String], sum: &Tally) -> Outcome {
    let found = match fail_on {
        FailOn::At(severity) => sum.reaches(severity),
        FailOn::Never => false,
    };
    if !complaints.is_empty() {
        Outcome::Failed
    } else if found {
        Outcome::Findings
    } else {
        Outcome::Clean
    }
}

/// The reports that are asked for, that on standard output first.
fn shapes(arguments: &CheckArguments) -> Vec<Box<dyn Shape>> {
    let standard = (!arguments.quiet).then_some(arguments.format);
    let files = arguments.output.iter().map(|(report, _)| *report);
    let all = standard.into_iter().chain(files);
    all.map(|report| formats::shape(report, arguments))
        .collect()
}

/// Begins all reports. The inner error says which cannot be written.
fn begun<'a>(
    arguments: &CheckArguments,
    shapes: &'a [Box<dyn Shape>],
) -> std::io::Result<Result<Vec<Output<'a>>, String>> {
    // Only the text has colours to take out, and all of them would go out by single words.
    let standard = (!arguments.quiet).then(|| match arguments.format {
        Report::Text => Sink::Standard(Box::new(anstream::stdout())),
        _ => Sink::Standard(Box::new(std::io::stdout())),
    });
    let mut sinks: Vec<Sink> = standard.into_iter().collect();
    for (_, path) in &arguments.output {
        match write::begin(path) {
            Ok(file) => sinks.push(Sink::File(file)),
            Err(error) => {
                return Ok(Err(format!(
                    "{} cannot be written: {error}",
                    path.display()
                )));
            }
        }
    }
    let each = shapes.iter().zip(sinks);
    let begun = each.map(|(shape, sink)| Output::begun(shape.as_ref(), sink));
    begun.collect::<Result<_, _>>().map(Ok)
}

/// The bar for those who wait; where they see the report itself come, it would only stand in its way.
fn bar(arguments: &CheckArguments, files: usize) -> ProgressBar {
    if !arguments.quiet && std::io::stdout().is_terminal() {
        ProgressBar::hidden()
    } else {
        input::progress(files)
    }
}

/// Reads a score, makes what is reported of it, and lets it go.
fn reported(
    number: usize,
    path: &Path,
    arguments: &CheckArguments,
    shapes: &[Box<dyn Shape>],
) -> Result<(Reported, Vec<SettingsError>), String> {
    let (held, errors) = Held::of(path, &arguments.sources)?;
    let path = input::name(path, &arguments.sources);
    let input = held.judged()?;
    let wanted = formats::wanted(shapes);
    let mut verdict = Verdict::of(&input.judged, wanted);
    let kept = verdict.keep(|remark| arguments.choice.holds(&remark.rule));
    let score = Score {
        number,
        path,
        verdict: &verdict,
        judged: wanted.score.then_some(&input.judged),
        kept: &kept,
    };
    let chunks = shapes.iter().map(|shape| shape.score(&score));
    let reported = Reported {
        chunks: chunks
            .collect::<Result<_, _>>()
            .map_err(|error| format!("{}: {error}", path.display()))?,
        tally: Tally::of(&score.shown(), &verdict),
    };
    Ok((reported, errors))
}
