//! `bellhand check`: findings in many shapes, for people and for programs.

mod cache;
mod formats;
mod known;
mod outputs;
mod tally;
mod watch;

use std::io::{IsTerminal as _, Write as _};
use std::path::Path;

use cache::Cache;
use engine::{Judged, Named, SettingsError};
use files::{Held, NewFile, Outcome, Remark, Verdict, complain, input};
use formats::html::Apart;
use formats::{Ending, Score, Shape};
use indicatif::ProgressBar;
use known::{Found, Known};
use outputs::{Output, Sink};
use tally::Tally;

use super::arguments::{CheckArguments, FailOn, Report};
use super::meant::did_you_mean;
use super::unmatched::Unmatched;

/// What one score came to: what goes into each report, and how much was found.
struct Reported {
    /// The score's path as it is shown.
    shown: String,
    chunks: Vec<Vec<u8>>,
    tally: Tally,
    /// How many findings were known.
    known: usize,
    /// How many are known and no longer found.
    gone: usize,
    /// What is to be known from now on.
    found: Option<Found>,
    /// What its settings name, whether it is or has each of them, and what its horn parts are called.
    named: (Vec<Named>, Vec<bool>, Vec<String>),
}

/// All that decides what is reported of a score.
struct Plan<'a> {
    arguments: &'a CheckArguments,
    shapes: &'a [Box<dyn Shape>],
    known: Option<Known>,
    cache: Option<Cache>,
}

pub(crate) fn run(arguments: &CheckArguments) -> std::io::Result<Outcome> {
    if arguments.watch {
        return watch::run(arguments);
    }
    if arguments.into.is_some() && arguments.format != Report::Html {
        complain("--into writes pages; it goes with --format html");
        return Ok(Outcome::Failed);
    }
    let shapes = shapes(arguments);
    let begun = record(arguments).map(|known| (known, begun(arguments, &shapes)));
    let (known, mut outputs) = match begun {
        Ok((known, Ok(outputs))) => (known, outputs?),
        Err(why) | Ok((_, Err(why))) => {
            complain(&why);
            return Ok(Outcome::Failed);
        }
    };
    let plan = Plan {
        arguments,
        shapes: &shapes,
        known,
        cache: cache(arguments, &shapes),
    };
    let (files, mut complaints) = input::found(&arguments.sources, &arguments.narrowed);
    // Of a share of the scores it is not known.
    let whole = !arguments.quiet && arguments.narrowed.is_none();
    let mut unmatched = Unmatched::of(&arguments.sources.paths).filter(|_| whole);
    let (mut sum, mut known, mut gone) = (Tally::default(), 0, 0);
    let mut found = Vec::new();
    let unread = input::each(
        &files,
        &bar(arguments, files.len()),
        |number, path| reported(number, path, &plan),
        |reported| {
            sum.add(&reported.tally);
            known += reported.known;
            gone += reported.gone;
            found.extend(reported.found);
            if let Some(unmatched) = &mut unmatched {
                let (named, met, names) = reported.named;
                unmatched.add(&named, &met, names);
            }
            let mut each = outputs.iter_mut().zip(&reported.chunks);
            each.try_for_each(|(output, chunk)| output.add(&reported.shown, chunk))
        },
    )?;
    complaints.extend(unread);
    if let Some(unmatched) = unmatched.filter(|_| complaints.is_empty()) {
        unmatched.report();
    }
    if let Some(cache) = &plan.cache {
        cache.tidy();
    }
    let mut more = String::new();
    if let Some(mut record) = plan.known {
        gone += record.lost();
        if arguments.write_known.is_some() {
            for found in found {
                record.learn(found, &arguments.choice);
            }
            match record.write() {
                Ok(many) => more += &format!("{} known now.\n", number(many, "is", "are")),
                Err(why) => {
                    complain(&why);
                    complaints.push(why);
                }
            }
        } else if known > 0 {
            more += &format!("{} known and not reported.\n", number(known, "is", "are"));
        }
        if gone > 0 {
            let gone = number(gone, "was", "were");
            let taken_out = match &arguments.known {
                Some(path) => format!("; --write-known {} takes out what is gone", path.display()),
                None => String::new(),
            };
            more += &format!("{gone} known and cannot be found any more{taken_out}.\n");
        }
    }
    let outcome = outcome(arguments.fail_on, &complaints, &sum);
    if arguments.statistics {
        more += &sum.statistics();
    }
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
    if arguments.format != Report::Text && !arguments.quiet {
        anstream::stderr().write_all(more.as_bytes())?;
    }
    Ok(outcome)
}

/// So many findings, and the verb for them.
fn number(many: usize, one: &str, several: &str) -> String {
    match many {
        1 => format!("1 finding {one}"),
        many => format!("{many} findings {several}"),
    }
}

/// The record of known findings that is asked for. Fails with what to tell the user.
fn record(arguments: &CheckArguments) -> Result<Option<Known>, String> {
    match (&arguments.known, &arguments.write_known) {
        (Some(path), _) => Known::read(path).map(Some),
        (None, Some(path)) if path.exists() => Known::read(path).map(Some),
        (None, Some(path)) => Ok(Some(Known::new(path))),
        (None, None) => Ok(None),
    }
}

/// Where verdicts are kept, if they may be and what is wanted can be made from them.
fn cache(arguments: &CheckArguments, shapes: &[Box<dyn Shape>]) -> Option<Cache> {
    if arguments.no_cache || formats::wanted(shapes).score {
        return None;
    }
    Cache::of_user()
}

fn outcome(fail_on: FailOn, complaints: &[String], sum: &Tally) -> Outcome {
    if !complaints.is_empty() {
        Outcome::Failed
    } else if sum.reaches(fail_on) {
        Outcome::Findings
    } else {
        Outcome::Clean
    }
}

/// The reports that are asked for, that on standard output first.
fn shapes(arguments: &CheckArguments) -> Vec<Box<dyn Shape>> {
    let apart = match arguments.into {
        Some(_) => Apart::Yes,
        None => Apart::No,
    };
    let standard = (!arguments.quiet).then_some((arguments.format, apart));
    let files = arguments.output.iter();
    let files = files.map(|(report, _)| (*report, Apart::No));
    let all = standard.into_iter().chain(files);
    all.map(|(report, apart)| formats::shape(report, arguments, apart))
        .collect()
}

/// Begins all reports. The outer error says which cannot be written.
fn begun<'a>(
    arguments: &CheckArguments,
    shapes: &'a [Box<dyn Shape>],
) -> Result<std::io::Result<Vec<Output<'a>>>, String> {
    // Only the text has colours to take out, and all of them would go out by single words.
    let standard = || match arguments.format {
        Report::Text => Sink::Standard(Box::new(anstream::stdout())),
        _ => Sink::Standard(Box::new(std::io::stdout())),
    };
    let mut sinks: Vec<Sink> = Vec::new();
    match &arguments.into {
        _ if arguments.quiet => {}
        None => sinks.push(standard()),
        Some(folder) => sinks.push(pages(folder)?),
    }
    for (_, path) in &arguments.output {
        let file = NewFile::begin(path);
        let file =
            file.map_err(|error| format!("{} cannot be written: {error}", path.display()))?;
        sinks.push(Sink::File(file));
    }
    let each = shapes.iter().zip(sinks);
    let begun = each.map(|(shape, sink)| Output::begun(shape.as_ref(), sink));
    Ok(begun.collect())
}

/// Pages in a folder, which is made where there is none. Fails with what to tell the user.
fn pages(folder: &Path) -> Result<Sink, String> {
    let index = folder.join("index.html");
    let begun = std::fs::create_dir_all(folder).and_then(|()| NewFile::begin(&index));
    let index = begun.map_err(|error| format!("{} cannot be written: {error}", index.display()))?;
    Ok(Sink::Pages {
        folder: folder.to_owned(),
        index,
    })
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
    plan: &Plan<'_>,
) -> Result<(Reported, Vec<SettingsError>), String> {
    let (held, errors) = held(path, plan)?;
    Ok((report(number, path, held, plan)?, errors))
}

/// A source with what decides what is said of it, and what is not understood of its settings. Fails with what to tell the
/// user.
fn held(path: &Path, plan: &Plan<'_>) -> Result<(Held, Vec<SettingsError>), String> {
    let (held, errors) = Held::of(path, &plan.arguments.sources)?;
    Ok((held.for_level(plan.arguments.level), errors))
}

/// Makes what is reported of a score.
fn report(number: usize, path: &Path, held: Held, plan: &Plan<'_>) -> Result<Reported, String> {
    let Plan {
        arguments, shapes, ..
    } = plan;
    let path = input::name(path, &arguments.sources);
    let named = held.settings().named().to_vec();
    let (mut verdict, judged) = judged(held, plan)?;
    if !verdict.music && verdict.remarks.is_empty() {
        return Err(no_music(path, &verdict.format));
    }
    let choice = &arguments.choice;
    if !verdict.horns.iter().any(|horn| choice.is_about(Some(horn))) && choice.part.is_some() {
        return Err(no_such_part(path, choice.part.as_deref(), &verdict.horns));
    }
    let chosen =
        |remark: &Remark| choice.holds(&remark.rule) && choice.is_about(remark.part.as_deref());
    let mut kept: Vec<bool> = verdict.remarks.iter().map(chosen).collect();
    verdict.keep(&kept);
    let (mut known, mut gone, mut found) = (0, 0, None);
    if let Some(record) = &plan.known {
        let recalled = record.recall(path, &verdict, &arguments.choice);
        gone = recalled.gone;
        let mut unknown: Vec<bool> = recalled.known.iter().map(|known| !known).collect();
        if arguments.write_known.is_some() {
            found = record.found(path, &verdict.remarks);
            // What has no name is never known.
            unknown.fill(found.is_none());
        }
        known = unknown.iter().filter(|unknown| !**unknown).count();
        verdict.keep(&unknown);
        let mut unknown = unknown.into_iter();
        for kept in kept.iter_mut().filter(|kept| **kept) {
            *kept = unknown.next().unwrap_or(true);
        }
    }
    let score = Score {
        number,
        path,
        verdict: &verdict,
        judged: judged.as_ref(),
        kept: &kept,
    };
    let chunks = shapes.iter().map(|shape| shape.score(&score));
    Ok(Reported {
        shown: score.shown().into_owned(),
        chunks: chunks
            .collect::<Result<_, _>>()
            .map_err(|error| format!("{}: {error}", path.display()))?,
        tally: Tally::of(&score.shown(), &verdict),
        known,
        gone,
        found,
        named: (named, verdict.met, verdict.horns),
    })
}

/// What is said of a text without music, which must not pass for a clean one.
fn no_music(path: &Path, notation: &str) -> String {
    let begins = match notation {
        "abc" => "a tune begins with X:1, and its music after K:",
        "kern" => "a piece begins with **kern, and its notes stand in that column",
        _ => "a score holds <part> with <measure> in it",
    };
    format!(
        "{}: there is no music in this text, so nothing was checked; {begins}",
        path.display()
    )
}

/// What is said where no horn part has the name that is asked for.
fn no_such_part(path: &Path, wanted: Option<&str>, horns: &[String]) -> String {
    let wanted = wanted.unwrap_or_default();
    let names: Vec<String> = horns.iter().map(|horn| format!("\"{horn}\"")).collect();
    let there = match names.as_slice() {
        [] => "there is no horn part".to_owned(),
        names => format!("there are {}", names.join(", ")),
    };
    format!(
        "{}: no horn part is called \"{wanted}\"; {there}{}",
        path.display(),
        did_you_mean(wanted, horns.iter().map(String::as_str))
    )
}

/// What is said of a score, kept from before or made now; and the score itself where a report draws it.
fn judged(held: Held, plan: &Plan<'_>) -> Result<(Verdict, Option<Judged>), String> {
    let wanted = formats::wanted(plan.shapes);
    let kept = plan
        .cache
        .as_ref()
        .map(|cache| (cache, cache.key(&held, wanted)));
    if let Some(verdict) = kept.as_ref().and_then(|(cache, key)| cache.get(key)) {
        return Ok((verdict, None));
    }
    let judged = held.judged()?.judged;
    let verdict = Verdict::of(&judged, wanted);
    if let Some((cache, key)) = kept {
        cache.put(&key, &verdict);
    }
    Ok((verdict, wanted.score.then_some(judged)))
}
