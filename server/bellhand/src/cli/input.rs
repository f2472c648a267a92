//! Files and standard input as documents, each judged by the settings that hold for it.

use std::collections::BTreeSet;
use std::io::Read as _;
use std::path::{Path, PathBuf};

use engine::{Found, Judged, OnDisk, SettingsError};
use indicatif::{ProgressBar, ProgressStyle};
use notation::{Document, Format};
use rayon::prelude::*;

use super::arguments::Sources;
use super::complain;
use super::write::Fingerprint;

/// The most bytes that are taken for a score; the largest real ones are a tenth of it. This project's choice.
const LARGEST: u64 = 128 << 20;

/// A document to work on.
pub(crate) struct Input {
    /// The path as it was given; `-` for standard input.
    pub(crate) path: PathBuf,
    /// What the file held.
    pub(crate) fingerprint: Fingerprint,
    pub(crate) judged: Judged,
}

impl Input {
    pub(crate) fn is_stdin(&self) -> bool {
        is_stdin(&self.path)
    }

    /// The path as it is shown.
    pub(crate) fn shown(&self) -> String {
        self.path.display().to_string()
    }
}

fn is_stdin(path: &Path) -> bool {
    path == Path::new("-")
}

/// Reads all sources and does something with each, many at a time; what cannot be read is complained about and
/// counted. The outcomes come in the order of the sources.
pub(crate) fn each<T: Send>(
    sources: &Sources,
    work: impl Fn(Input) -> T + Sync,
) -> (Vec<T>, usize) {
    let (files, mut failures) = found(sources);
    let progress = progress(files.len());
    let outcomes: Vec<Result<(T, Vec<SettingsError>), String>> = files
        .par_iter()
        .map(|path| {
            let outcome = one(path, sources).map(|(input, errors)| (work(input), errors));
            progress.inc(1);
            outcome
        })
        .collect();
    progress.finish_and_clear();
    let mut done = Vec::with_capacity(outcomes.len());
    let mut told = BTreeSet::new();
    for outcome in outcomes {
        match outcome {
            Ok((outcome, errors)) => {
                failures += complain_once(errors, &mut told);
                done.push(outcome);
            }
            Err(why) => {
                complain(&why);
                failures += 1;
            }
        }
    }
    (done, failures)
}

/// Reads all sources; those that cannot be read are complained about and counted.
pub(crate) fn read(sources: &Sources) -> (Vec<Input>, usize) {
    each(sources, |input| input)
}

/// Reads one source after the other and does something with each before the next is read, so that what is written is
/// made from what was there a moment ago; what cannot be read is complained about and counted.
pub(crate) fn in_turn(sources: &Sources, mut work: impl FnMut(Input)) -> usize {
    let (files, mut failures) = found(sources);
    let progress = progress(files.len());
    let mut told = BTreeSet::new();
    for path in &files {
        match one(path, sources) {
            Ok((input, errors)) => {
                failures += complain_once(errors, &mut told);
                work(input);
            }
            Err(why) => {
                complain(&why);
                failures += 1;
            }
        }
        progress.inc(1);
    }
    progress.finish_and_clear();
    failures
}

/// Complains about what is not understood in settings, once for all scores; how many complaints are new.
pub(crate) fn complain_once(errors: Vec<SettingsError>, told: &mut BTreeSet<String>) -> usize {
    let mut new = 0;
    for error in errors {
        let words = error.to_string();
        if told.insert(words.clone()) {
            complain(&words);
            new += 1;
        }
    }
    new
}

/// The files named, and those in the folders named; hidden and ignored ones are left out as git leaves them out.
fn found(sources: &Sources) -> (Vec<PathBuf>, usize) {
    let mut files = Vec::new();
    let mut failures = 0;
    for path in &sources.paths {
        if is_stdin(path) || !path.is_dir() {
            files.push(path.clone());
            continue;
        }
        let before = (files.len(), failures);
        let mut walk = ignore::WalkBuilder::new(path);
        walk.sort_by_file_path(Path::cmp).require_git(false);
        for entry in walk.build() {
            match entry {
                Ok(entry) => {
                    let is_file = entry.file_type().is_some_and(|kind| kind.is_file());
                    let is_score = Format::of_path(entry.path())
                        .is_some_and(|format| format.is_score(entry.path()));
                    if is_file && is_score {
                        files.push(entry.into_path());
                    }
                }
                Err(error) => {
                    complain(&error.to_string());
                    failures += 1;
                }
            }
        }
        if before == (files.len(), failures) {
            complain(&format!(
                "{}: there is no score in this folder; its files are looked for by name (.abc, .musicxml, .xml, .mxl, .krn, \
                 .kern), but for those git ignores",
                path.display()
            ));
            failures += 1;
        }
    }
    (files, failures)
}

/// A bar on the terminal, for those who wait; a few files are done before it would be seen.
fn progress(files: usize) -> ProgressBar {
    if files < 20 {
        return ProgressBar::hidden();
    }
    let style = ProgressStyle::with_template("{bar:30} {pos} of {len} files")
        .unwrap_or_else(|_| ProgressStyle::default_bar());
    ProgressBar::new(files as u64).with_style(style)
}

/// A source, judged by what is understood of its settings, and what is not.
fn one(path: &Path, sources: &Sources) -> Result<(Input, Vec<SettingsError>), String> {
    let shown = path.display();
    let format = match (sources.notation, Format::of_path(path)) {
        (Some(format), _) | (None, Some(format)) => format,
        (None, None) if is_stdin(path) => {
            return Err(
                "standard input has no name to tell its notation; add --as abc, musicxml or kern"
                    .to_owned(),
            );
        }
        // A name mistyped is the likelier slip.
        (None, None) => {
            // A name mistyped is the likelier slip.
            std::fs::metadata(path).map_err(|error| format!("{shown} cannot be read: {error}"))?;
            return Err(format!(
                "{shown}: the name does not tell the notation; add --as abc, musicxml or kern"
            ));
        }
    };
    let bytes = bytes(path)?;
    let document =
        Document::from_bytes(format, &bytes).map_err(|error| format!("{shown}: {error}"))?;
    let Found {
        settings, errors, ..
    } = settings(path, sources);
    let input = Input {
        path: path.to_owned(),
        fingerprint: Fingerprint::of(&bytes),
        judged: Judged::new(document, settings),
    };
    Ok((input, errors))
}

/// The bytes of a source; a device or pipe by a name has no end that can be known, and nothing is read without one.
fn bytes(path: &Path) -> Result<Vec<u8>, String> {
    let shown = if is_stdin(path) {
        "standard input".to_owned()
    } else {
        path.display().to_string()
    };
    let cannot = |error: std::io::Error| format!("{shown} cannot be read: {error}");
    let mut bytes = Vec::new();
    if is_stdin(path) {
        let mut input = std::io::stdin().lock().take(LARGEST + 1);
        input.read_to_end(&mut bytes).map_err(cannot)?;
    } else {
        if !std::fs::metadata(path).map_err(cannot)?.is_file() {
            return Err(format!(
                "{shown} is no file; a pipe or device is read with - in place of a path"
            ));
        }
        let file = std::fs::File::open(path).map_err(cannot)?;
        let mut input = file.take(LARGEST + 1);
        input.read_to_end(&mut bytes).map_err(cannot)?;
    }
    if bytes.len() as u64 > LARGEST {
        let most = LARGEST >> 20;
        return Err(format!(
            "{shown} holds more than {most} MiB, which is more than a score is taken to have; split it into pieces"
        ));
    }
    Ok(bytes)
}

/// The settings that hold for a source.
pub(crate) fn settings(path: &Path, sources: &Sources) -> Found {
    let start = if is_stdin(path) { Path::new(".") } else { path };
    match &sources.settings {
        Some(file) => engine::load(file, Some(start), &OnDisk),
        None => engine::discover(start, &OnDisk),
    }
}
