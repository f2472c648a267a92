//! Reading settings files: the nearest one upward, and those it extends.

use std::io;
use std::ops::Range;
use std::path::{Component, Path, PathBuf};

use super::change::{Origin, Set};
use super::meaning::Meaning;
use super::named::Named;
use super::problem::{Problem, SettingsError, line_and_column};
use super::said::{self, Entry};
use super::value::texts_of;
use super::{FILE_NAME, Settings};

/// No settings file is larger, in bytes.
const LARGEST: u64 = 1 << 20;
/// No settings extend others through more files than this.
const DEEPEST: usize = 16;

/// Settings as they were found.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Found {
    /// What holds: all that is understood.
    pub settings: Settings,
    /// What is not understood.
    pub errors: Vec<SettingsError>,
    /// The files that were read, those that are extended before those that extend them; none where nothing was found.
    pub files: Vec<PathBuf>,
}

/// What gives the text of a settings file, such as an editor's unsaved one.
pub trait Texts {
    /// The text of a file.
    fn read(&self, path: &Path) -> io::Result<String>;

    /// Whether there is such a file.
    fn has(&self, path: &Path) -> bool;
}

/// The texts on disk.
#[derive(Debug, Clone, Copy, Default)]
pub struct OnDisk;

impl Texts for OnDisk {
    fn read(&self, path: &Path) -> io::Result<String> {
        let data = std::fs::metadata(path)?;
        if !data.is_file() {
            return Err(io::Error::other("it is no file"));
        }
        if data.len() > LARGEST {
            let most = LARGEST >> 20;
            return Err(io::Error::other(format!(
                "it is larger than {most} MiB, which is more than settings are taken to have"
            )));
        }
        std::fs::read_to_string(path)
    }

    fn has(&self, path: &Path) -> bool {
        path.is_file()
    }
}

/// The settings for a file or folder by the nearest settings file, in its folder or above it; the default where there
/// is none.
#[must_use]
pub fn discover(start: &Path, texts: &impl Texts) -> Found {
    let start = std::path::absolute(start).unwrap_or_else(|_| start.to_owned());
    let nearest = start
        .ancestors()
        .map(|folder| folder.join(FILE_NAME))
        .find(|path| texts.has(path));
    nearest.map_or_else(Found::default, |path| load(&path, Some(&start), texts))
}

/// What a settings file says of a file that is judged, or of all files.
#[must_use]
pub fn load(path: &Path, score: Option<&Path>, texts: &impl Texts) -> Found {
    let mut loading = Loading {
        score,
        texts,
        open: Vec::new(),
        sets: Vec::new(),
        named: Vec::new(),
        found: Found::default(),
    };
    if let Err(error) = loading.file(path) {
        loading.found.errors.push(SettingsError {
            path: path.to_owned(),
            place: None,
            message: format!("cannot be read: {error}"),
            instead: None,
        });
    }
    loading.found.settings = Settings {
        named: loading.named,
        ..Settings::of(loading.sets)
    };
    loading.found
}

struct Loading<'a, T> {
    score: Option<&'a Path>,
    texts: &'a T,
    /// The files that are being read, each extended by the one before.
    open: Vec<PathBuf>,
    sets: Vec<Set<Option<Origin>>>,
    named: Vec<Named>,
    found: Found,
}

impl<T: Texts> Loading<'_, T> {
    fn file(&mut self, path: &Path) -> io::Result<()> {
        let text = self.texts.read(path)?;
        let (entries, broken) = said::toml(&text);
        let folder = path.parent().unwrap_or_else(|| Path::new("."));
        self.open.push(same_way(path));
        let mut problems: Vec<_> = broken
            .into_iter()
            .map(|(at, message)| Problem::new(at, message))
            .collect();
        for entry in entries.iter().filter(|entry| entry.name == "extend") {
            problems.extend(self.extend(entry, folder));
        }
        let absolute = self.score.and_then(|score| std::path::absolute(score).ok());
        let from_here = absolute
            .as_deref()
            .and_then(|score| score.strip_prefix(same_way(folder)).ok());
        let mut meaning = Meaning::new(from_here);
        meaning.read(&entries);
        // What TOML does not allow is said once, and not again for what is left of it.
        let told: Vec<usize> = problems.iter().map(|problem| problem.at.start).collect();
        let new = |problem: &Problem<Range<usize>>| !told.contains(&problem.at.start);
        problems.extend(meaning.problems.into_iter().filter(new));
        let origin = |at: Range<usize>| Origin {
            file: path.to_owned(),
            line: line_and_column(&text, at.start).0,
        };
        let named = meaning.named.into_iter();
        self.named.extend(named.map(|(words, whom, at)| Named {
            origin: origin(at),
            words,
            whom,
        }));
        self.sets.extend(meaning.sets.into_iter().map(|set| Set {
            at: Some(origin(set.at)),
            name: set.name,
            change: set.change,
            parts: set.parts,
        }));
        self.open.pop();
        problems.sort_by_key(|problem| problem.at.start);
        let errors = problems.into_iter().map(|problem| SettingsError {
            path: path.to_owned(),
            place: Some((problem.at.clone(), line_and_column(&text, problem.at.start))),
            message: problem.words(),
            instead: problem.instead,
        });
        self.found.errors.extend(errors);
        self.found.files.push(path.to_owned());
        Ok(())
    }

    /// Reads what a file extends, before what it says itself.
    fn extend(&mut self, entry: &Entry<Range<usize>>, folder: &Path) -> Vec<Problem<Range<usize>>> {
        let named = match texts_of(&entry.value) {
            Ok(named) => named,
            Err(problem) => return vec![problem],
        };
        let mut problems = Vec::new();
        for name in named {
            let path = same_way(&folder.join(&name));
            let problem = if self.open.contains(&path) {
                Some(format!(
                    "`{name}` extends this file itself; one of the two must not"
                ))
            } else if self.open.len() >= DEEPEST {
                Some(format!(
                    "`{name}` is extended through more than {DEEPEST} files"
                ))
            } else if self.found.files.iter().any(|known| same_way(known) == path) {
                // What two extended files share holds once, where it was read first.
                None
            } else {
                self.file(&path)
                    .err()
                    .map(|error| format!("`{name}` cannot be read: {error}"))
            };
            problems.extend(problem.map(|problem| Problem::new(entry.value.at.clone(), problem)));
        }
        problems
    }
}

/// A path without links and detours, so that the same file is known again.
fn same_way(path: &Path) -> PathBuf {
    std::fs::canonicalize(path).unwrap_or_else(|_| {
        let path = std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
        let mut straight = PathBuf::new();
        for step in path.components() {
            if step == Component::ParentDir {
                straight.pop();
            } else {
                straight.push(step);
            }
        }
        straight
    })
}
