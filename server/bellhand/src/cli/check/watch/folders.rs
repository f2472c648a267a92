//! The folders in which something may change that decides what is said of the scores, and word of it when it does.

use std::collections::HashSet;
use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::{Duration, Instant};

use notation::Format;
use notify::event::{AccessKind, AccessMode, ModifyKind};
use notify::{ErrorKind, Event, EventKind, RecommendedWatcher, RecursiveMode, Watcher as _};

/// How long nothing more must happen before what changed is looked at: an editor's save is several steps, and so is a
/// change of branch. Bellhand's own choice.
const QUIET: Duration = Duration::from_millis(100);

/// How long it is waited at most while things go on happening. Bellhand's own choice.
const LONGEST: Duration = Duration::from_secs(2);

/// The names of files that say which others git leaves out.
const IGNORE_FILES: [&str; 2] = [".gitignore", ".ignore"];

/// Folders that are watched, each without those in it.
pub(super) struct Folders {
    watcher: RecommendedWatcher,
    events: Receiver<notify::Result<Event>>,
    watched: HashSet<PathBuf>,
    /// Those in which scores are looked for, also by the names the system may give them.
    searched: HashSet<PathBuf>,
    /// The names of files that decide for all scores, as far as known.
    deciding: HashSet<OsString>,
}

/// What may have changed.
#[derive(Debug, Default)]
pub(super) struct Changed {
    /// Something that any score may rest on.
    pub(super) everything: bool,
    /// Files of these names, wherever they lie.
    pub(super) names: HashSet<OsString>,
}

impl Changed {
    /// All may have changed.
    pub(super) fn everything() -> Self {
        Self {
            everything: true,
            ..Self::default()
        }
    }
}

impl Folders {
    /// No folders yet. Fails where the system cannot watch.
    pub(super) fn new() -> notify::Result<Self> {
        let (give, events) = channel();
        Ok(Self {
            watcher: notify::recommended_watcher(give)?,
            events,
            watched: HashSet::new(),
            searched: HashSet::new(),
            deciding: HashSet::new(),
        })
    }

    /// Watches a folder in which scores are looked for; whether it was not watched before. Fails where the system watches
    /// as many as it may; what cannot be watched for another reason cannot be read either, of which the search tells.
    pub(super) fn search(&mut self, folder: &Path) -> notify::Result<bool> {
        let folder = whole(folder);
        // It may be watched already for a settings file's sake.
        self.searched.extend(folder.canonicalize());
        self.searched.insert(folder.clone());
        if !self.watched.insert(folder.clone()) {
            return Ok(false);
        }
        match self.watcher.watch(&folder, RecursiveMode::NonRecursive) {
            Err(error) if matches!(error.kind, ErrorKind::MaxFilesWatch) => Err(error),
            Ok(()) | Err(_) => Ok(true),
        }
    }

    /// Watches all folders above a path, where a settings file may come to lie; whether any was not watched before.
    /// Where one cannot be watched, no change is seen in it.
    pub(super) fn look_above(&mut self, path: &Path) -> bool {
        let mut any = false;
        for folder in whole(path).ancestors().skip(1) {
            if self.watched.contains(folder) {
                continue;
            }
            any = true;
            self.watched.insert(folder.to_owned());
            let _ = self.watcher.watch(folder, RecursiveMode::NonRecursive);
        }
        any
    }

    /// Watches for a file that decides what is said of scores; whether its folder was not watched before.
    pub(super) fn heed(&mut self, file: &Path) -> bool {
        self.deciding.extend(file.file_name().map(OsString::from));
        self.look_above(file)
    }

    /// Waits until something has changed and no more happens. Fails when the system no longer tells.
    pub(super) fn wait(&mut self) -> notify::Result<Changed> {
        let ended = || notify::Error::generic("it has stopped telling");
        let mut changed = Changed::default();
        loop {
            let event = self.events.recv().map_err(|_| ended())?;
            if self.take_in(event, &mut changed) {
                break;
            }
        }
        let until = Instant::now() + LONGEST;
        let mut quiet = Instant::now() + QUIET;
        loop {
            let left = quiet.min(until).saturating_duration_since(Instant::now());
            if left.is_zero() {
                return Ok(changed);
            }
            match self.events.recv_timeout(left) {
                Ok(event) => {
                    if self.take_in(event, &mut changed) {
                        quiet = Instant::now() + QUIET;
                    }
                }
                Err(RecvTimeoutError::Timeout) => return Ok(changed),
                Err(RecvTimeoutError::Disconnected) => return Err(ended()),
            }
        }
    }

    /// Notes what an event says; whether it says anything that matters here.
    fn take_in(&mut self, event: notify::Result<Event>, changed: &mut Changed) -> bool {
        let Ok(event) = event else {
            changed.everything = true;
            return true;
        };
        if event.need_rescan() {
            changed.everything = true;
            return true;
        }
        let written = EventKind::Access(AccessKind::Close(AccessMode::Write));
        // Reading is what this program itself does.
        if event.kind.is_access() && event.kind != written {
            return false;
        }
        let moves = matches!(
            event.kind,
            EventKind::Create(_)
                | EventKind::Remove(_)
                | EventKind::Modify(ModifyKind::Name(_))
                | EventKind::Any
                | EventKind::Other
        );
        let mut matters = false;
        for path in &event.paths {
            // A folder that is gone may come back under its name, and is another one then.
            if moves && self.watched.remove(path) {
                let _ = self.watcher.unwatch(path);
            }
            matters |= self.note(path, moves, changed);
        }
        matters
    }

    /// Notes a path at which something happened; whether it matters here.
    fn note(&self, path: &Path, moves: bool, changed: &mut Changed) -> bool {
        let Some(name) = path.file_name() else {
            return false;
        };
        let settings = path.extension().is_some_and(|ending| ending == "toml");
        if settings || self.deciding.contains(name) {
            changed.everything = true;
            return true;
        }
        if Format::of_path(path).is_some() {
            changed.names.insert(name.to_owned());
            return true;
        }
        let searched = path
            .parent()
            .is_some_and(|folder| self.searched.contains(folder));
        // Scores come and go with their folders, and with what git is told to leave out.
        searched && (moves && !path.is_file() || IGNORE_FILES.iter().any(|file| *file == name))
    }
}

/// A path from the top.
fn whole(path: &Path) -> PathBuf {
    std::path::absolute(path).unwrap_or_else(|_| path.to_owned())
}
