//! Files and standard input as documents, each judged by the settings that hold for it.

use std::collections::BTreeSet;
use std::io::Read as _;
use std::path::{Path, PathBuf};

use engine::{Found, Judged, OnDisk, Settings, SettingsError};
use horn::Level;
use indicatif::{ProgressBar, ProgressStyle};
use notation::{Document, Format};
use sha2::{Digest as _, Sha256};

use super::in_order::in_order;
use super::outcome::complain;
use super::search::Search;
use super::sources::{Narrowed, Sources};
use super::write::Fingerprint;

/// The most bytes that are taken for a score; the largest real ones are a tenth of it. Bellhand's own choice.
const LARGEST: u64 = 128 << 20;

/// A document to work on.
pub struct Input {
    /// The path as it was given; `-` for standard input.
    pub path: PathBuf,
    /// The path as it is shown, which standard input may be given.
    pub name: PathBuf,
    /// What the file held.
    pub fingerprint: Fingerprint,
    /// The score, read and judged.
    pub judged: Judged,
}

impl Input {
    /// Whether it came over standard input.
    pub fn is_stdin(&self) -> bool {
        is_stdin(&self.path)
    }

    /// The path as it is shown.
    pub fn shown(&self) -> String {
        self.name.display().to_string()
    }
}

/// The path that a source is taken to have.
pub fn name<'a>(path: &'a Path, sources: &'a Sources) -> &'a Path {
    match &sources.stdin_name {
        Some(name) if is_stdin(path) => name,
        _ => path,
    }
}

/// Whether a source is standard input.
pub fn is_stdin(path: &Path) -> bool {
    path == Path::new("-")
}

/// Does something with every source, many at a time, and takes the outcomes in the order of the sources as they are
/// ready; what could not be done is complained about. `work` is also told the source's place, from 1.
///
/// Fails where `take` does; the outcome is all complaints.
pub fn each<T: Send>(
    files: &[PathBuf],
    bar: &ProgressBar,
    work: impl Fn(usize, &Path) -> Result<(T, Vec<SettingsError>), String> + Sync,
    mut take: impl FnMut(T) -> std::io::Result<()>,
) -> std::io::Result<Vec<String>> {
    let mut complaints = Complaints::default();
    let done = in_order(
        (1..).zip(files),
        |(number, path)| work(number, path),
        |outcome| {
            bar.inc(1);
            let (outcome, errors) = match outcome {
                Ok((outcome, errors)) => (Some(outcome), errors),
                Err(why) => {
                    bar.suspend(|| complaints.add(why));
                    (None, Vec::new())
                }
            };
            bar.suspend(|| complaints.add_once(errors));
            outcome.map_or(Ok(()), &mut take)
        },
    );
    bar.finish_and_clear();
    done.map(|()| complaints.all)
}

/// Reads all sources; those that cannot be read are complained about and counted.
pub fn read(sources: &Sources) -> std::io::Result<(Vec<Input>, usize)> {
    let (files, complaints) = found(sources, &Narrowed::default());
    let mut inputs = Vec::with_capacity(files.len());
    let unread = each(
        &files,
        &progress(files.len()),
        |_, path| one(path, sources),
        |input| {
            inputs.push(input);
            Ok(())
        },
    )?;
    Ok((inputs, complaints.len() + unread.len()))
}

/// Reads one source after the other and does something with each before the next is read, so that what is written is
/// made from what was there a moment ago; what cannot be read is complained about and counted.
pub fn in_turn(sources: &Sources, narrowed: &Narrowed, mut work: impl FnMut(Input)) -> usize {
    let (files, missing) = found(sources, narrowed);
    let progress = progress(files.len());
    let mut complaints = Complaints::default();
    for path in &files {
        match one(path, sources) {
            Ok((input, errors)) => {
                complaints.add_once(errors);
                work(input);
            }
            Err(why) => complaints.add(why),
        }
        progress.inc(1);
    }
    progress.finish_and_clear();
    missing.len() + complaints.all.len()
}

/// What has been complained about.
#[derive(Debug, Default)]
pub struct Complaints {
    all: Vec<String>,
    of_settings: BTreeSet<String>,
}

impl Complaints {
    /// Complains.
    fn add(&mut self, why: String) {
        complain(&why);
        self.all.push(why);
    }

    /// Complains about what is not understood in settings, once for all scores.
    fn add_once(&mut self, errors: Vec<SettingsError>) {
        for error in errors {
            let words = error.to_string();
            if self.of_settings.insert(words.clone()) {
                self.add(words);
            }
        }
    }
}

/// Complains about what is not understood in settings; how many complaints there are.
pub fn complain_once(errors: Vec<SettingsError>) -> usize {
    let mut complaints = Complaints::default();
    complaints.add_once(errors);
    complaints.all.len()
}

/// The scores that are meant, and what has been complained about.
pub fn found(sources: &Sources, narrowed: &Narrowed) -> (Vec<PathBuf>, Vec<String>) {
    let search = Search::of(sources, narrowed);
    search.complaints.iter().for_each(|why| complain(why));
    (search.files, search.complaints)
}

/// A bar on the terminal, for those who wait; a few files are done before it would be seen.
pub fn progress(files: usize) -> ProgressBar {
    if files < 20 {
        return ProgressBar::hidden();
    }
    let style = ProgressStyle::with_template("{bar:30} {pos} of {len} files")
        .unwrap_or_else(|_| ProgressStyle::default_bar());
    ProgressBar::new(files as u64).with_style(style)
}

/// A source, judged by what is understood of its settings, and what is not.
fn one(path: &Path, sources: &Sources) -> Result<(Input, Vec<SettingsError>), String> {
    let (held, errors) = Held::of(path, sources)?;
    Ok((held.judged()?, errors))
}

/// A source's bytes, and all that decides what is said of them.
pub struct Held {
    path: PathBuf,
    name: PathBuf,
    format: Format,
    bytes: Vec<u8>,
    settings: Settings,
    /// The settings files that were read for it.
    pub settings_files: Vec<PathBuf>,
}

impl Held {
    /// Takes in a source, and tells what is not understood of its settings. Fails with what to tell the user.
    pub fn of(path: &Path, sources: &Sources) -> Result<(Self, Vec<SettingsError>), String> {
        let format = format(path, sources)?;
        let bytes = bytes(path)?;
        let Found {
            settings,
            errors,
            files,
        } = settings(path, sources);
        let held = Self {
            path: path.to_owned(),
            name: name(path, sources).to_owned(),
            format,
            bytes,
            settings,
            settings_files: files,
        };
        Ok((held, errors))
    }

    /// The settings that hold for it.
    pub const fn settings(&self) -> &Settings {
        &self.settings
    }

    /// Adds all that decides what is said of it to a digest.
    pub fn digest(&self, digest: &mut Sha256) {
        // All that is in the settings stands in this, whatever they come to hold.
        let settings = format!("{:?}", self.settings);
        digest.update(format!("{}\0{}\0", self.format.name(), settings.len()));
        digest.update(settings);
        digest.update(&self.bytes);
    }

    /// The same for players of a level, whatever its settings say of it; as it is where no level is given.
    #[must_use]
    pub fn for_level(mut self, level: Option<Level>) -> Self {
        if let Some(level) = level {
            self.settings = self.settings.for_level(level);
        }
        self
    }

    /// The same as an answer to a lesson, of whose own comments nothing is said.
    pub fn into_answer(mut self) -> Self {
        self.settings = self.settings.of_answer();
        self
    }

    /// Reads and judges it. Fails with what to tell the user.
    pub fn judged(self) -> Result<Input, String> {
        let document = Document::from_bytes(self.format, &self.bytes)
            .map_err(|error| format!("{}: {error}", self.name.display()))?;
        let fingerprint = Fingerprint::of(&self.bytes);
        // The text is the document's now; a large score is not held twice.
        drop(self.bytes);
        Ok(Input {
            path: self.path,
            name: self.name,
            fingerprint,
            judged: Judged::new(document, self.settings),
        })
    }
}

fn format(path: &Path, sources: &Sources) -> Result<Format, String> {
    let shown = path.display();
    match (sources.notation, Format::of_path(name(path, sources))) {
        (Some(format), _) | (None, Some(format)) => Ok(format),
        (None, None) if is_stdin(path) => Err(
            "standard input has no name to tell its notation; add --as abc, musicxml or kern, or --stdin-name PATH"
                .to_owned(),
        ),
        (None, None) => {
            // A name mistyped is the likelier slip.
            std::fs::metadata(path).map_err(|error| format!("{shown} cannot be read: {error}"))?;
            Err(format!(
                "{shown}: the name does not tell the notation; add --as abc, musicxml or kern"
            ))
        }
    }
}

/// The bytes of a source; a device or pipe by a name has no end that can be known, and nothing is read without one.
pub fn bytes(path: &Path) -> Result<Vec<u8>, String> {
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
pub fn settings(path: &Path, sources: &Sources) -> Found {
    let start = match name(path, sources) {
        unnamed if is_stdin(unnamed) => Path::new("."),
        named => named,
    };
    match &sources.settings {
        Some(file) => engine::load(file, Some(start), &OnDisk),
        None => engine::discover(start, &OnDisk),
    }
}
