//! Files and standard input as documents, each with the settings that hold for it.

use std::io::Read as _;
use std::path::{Path, PathBuf};

use engine::{Settings, SettingsError};
use notation::{Document, Format};

use super::arguments::Sources;
use super::complain;

/// A document to work on.
pub(crate) struct Input {
    /// The path as it was given; `-` for standard input.
    pub(crate) path: PathBuf,
    pub(crate) document: Document,
    pub(crate) settings: Settings,
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

/// Reads all sources; those that cannot be read are complained about and counted.
pub(crate) fn read(sources: &Sources) -> (Vec<Input>, usize) {
    let mut inputs = Vec::new();
    let mut failures = 0;
    for path in &sources.paths {
        match one(path, sources) {
            Ok(input) => inputs.push(input),
            Err(why) => {
                complain(&why);
                failures += 1;
            }
        }
    }
    (inputs, failures)
}

fn one(path: &Path, sources: &Sources) -> Result<Input, String> {
    let shown = path.display();
    let format = match (sources.notation, Format::of_path(path)) {
        (Some(format), _) | (None, Some(format)) => format,
        (None, None) if is_stdin(path) => {
            return Err("standard input has no name to tell its notation; add --as abc".to_owned());
        }
        (None, None) if path.is_dir() => {
            return Err(format!("{shown} is a folder; name the files in it"));
        }
        (None, None) => {
            return Err(format!(
                "{shown}: the name does not tell the notation; add --as abc"
            ));
        }
    };
    let bytes = if is_stdin(path) {
        let mut bytes = Vec::new();
        std::io::stdin()
            .read_to_end(&mut bytes)
            .map(|_| bytes)
            .map_err(|error| format!("standard input cannot be read: {error}"))?
    } else {
        std::fs::read(path).map_err(|error| format!("{shown} cannot be read: {error}"))?
    };
    let document =
        Document::from_bytes(format, &bytes).map_err(|error| format!("{shown}: {error}"))?;
    let settings = settings(path, sources).map_err(|error| error.to_string())?;
    Ok(Input {
        path: path.to_owned(),
        document,
        settings,
    })
}

fn settings(path: &Path, sources: &Sources) -> Result<Settings, SettingsError> {
    match &sources.settings {
        Some(file) => Settings::read(file),
        None if is_stdin(path) => engine::discover(Path::new(".")).map(|(settings, _)| settings),
        None => engine::discover(path).map(|(settings, _)| settings),
    }
}
