//! The scores that a command line means: the files it names, and those in the folders it names.

use std::path::{Path, PathBuf};

use notation::Format;

use super::changed::Changed;
use super::input::is_stdin;
use super::sources::{Narrowed, Sources};

/// What was found.
#[derive(Debug, Default)]
pub struct Search {
    /// The scores, in the order in which they are reported.
    pub files: Vec<PathBuf>,
    /// The folders that were looked through, with all folders in them.
    pub folders: Vec<PathBuf>,
    /// What could not be done, to tell the user.
    pub complaints: Vec<String>,
}

impl Search {
    /// Looks for the scores, as far as they are meant; hidden and ignored ones are left out as git leaves them out.
    pub fn of(sources: &Sources, narrowed: &Narrowed) -> Self {
        let mut search = Self::default();
        let changed = match Changed::asked(narrowed) {
            Ok(changed) => changed,
            Err(why) => {
                search.complaints.push(why);
                return search;
            }
        };
        for path in &sources.paths {
            if is_stdin(path) || !path.is_dir() {
                search.files.push(path.clone());
            } else {
                search.look_through(path);
            }
        }
        search.files.retain(|path| {
            let is_changed = changed.as_ref().is_none_or(|changed| changed.holds(path));
            is_changed && narrowed.shard.is_none_or(|shard| shard.holds(path))
        });
        search
    }

    /// Adds the scores in a folder.
    fn look_through(&mut self, folder: &Path) {
        let before = (self.files.len(), self.complaints.len());
        for found in walk(folder) {
            match found {
                Ok(Found::Folder(folder)) => self.folders.push(folder),
                Ok(Found::Score(score)) => self.files.push(score),
                Err(error) => self.complaints.push(error.to_string()),
            }
        }
        if (self.files.len(), self.complaints.len()) == before {
            self.complaints.push(format!(
                "{}: there is no score in this folder; its files are looked for by name (.abc, .musicxml, .xml, .mxl, \
                 .krn, .kern), but for those git ignores",
                folder.display()
            ));
        }
    }
}

/// What lies in a folder.
pub enum Found {
    /// The folder itself, or one in it.
    Folder(PathBuf),
    /// A score.
    Score(PathBuf),
}

/// The scores in a folder and the folders in it, in the order of their paths; hidden and ignored ones are left out as git
/// leaves them out. Fails at what cannot be looked into.
pub fn walk(folder: &Path) -> impl Iterator<Item = Result<Found, ignore::Error>> {
    let mut walk = ignore::WalkBuilder::new(folder);
    walk.sort_by_file_path(Path::cmp).require_git(false);
    walk.build().filter_map(|entry| {
        let entry = match entry {
            Ok(entry) => entry,
            Err(error) => return Some(Err(error)),
        };
        let kind = entry.file_type()?;
        if kind.is_dir() {
            return Some(Ok(Found::Folder(entry.into_path())));
        }
        let format = Format::of_path(entry.path())?;
        let is_score = kind.is_file() && format.is_score(entry.path());
        is_score.then(|| Ok(Found::Score(entry.into_path())))
    })
}
