//! The settings that hold for each document, found once and again when they change: those of the nearest file, and where
//! there is none, the editor's own, which may be others in each of its folders.

use std::collections::{BTreeMap, HashMap, HashSet};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use engine::{Settings, SettingsError, Texts};
use tower_lsp::lsp_types::Url;

use super::methods::configuration::{Answers, Said};

/// Settings by document.
#[derive(Debug, Default)]
pub(super) struct Cache {
    known: Mutex<Known>,
    turns: AtomicU64,
}

#[derive(Debug, Default)]
struct Known {
    documents: HashMap<PathBuf, Found>,
    /// What holds where there is no file, and nothing is said of the folder.
    editor: Editor,
    /// The same of folders of which anything is said.
    folders: HashMap<PathBuf, Editor>,
    /// How often the editor was asked or spoke, when it said this.
    turn: u64,
    /// What was complained about already.
    told: HashSet<String>,
}

/// What an editor's own settings say.
#[derive(Debug, Clone, Default, PartialEq)]
struct Editor {
    found: Found,
    /// Whether sounding pitches are shown in the line.
    sounding: bool,
}

/// What holds for a document.
#[derive(Debug, Clone, Default, PartialEq)]
struct Found {
    settings: Arc<Settings>,
    /// What is not understood of the files that were read, with those of which all is.
    files: BTreeMap<PathBuf, Vec<SettingsError>>,
    /// The same in words, or what is not understood of the editor's settings.
    complaint: Option<String>,
}

/// What came of looking at the settings again.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Looked {
    /// Whether anything holds for any document that did not before.
    pub(super) changed: bool,
    /// Whether sounding pitches are to be shown anywhere where they were not, or no longer.
    pub(super) sounding: bool,
    /// What is not understood, and was not told before.
    pub(super) complaints: Vec<String>,
}

impl Editor {
    /// What is said now, where this was said before.
    fn next(&self, said: Said) -> Self {
        let (settings, errors) = said.house;
        Self {
            found: Found::said(settings, &errors).after(Some(&self.found)),
            sounding: said.sounding.unwrap_or(self.sounding),
        }
    }
}

impl Known {
    /// What the editor says of the folder that a path lies in.
    fn editor(&self, path: &Path) -> &Editor {
        let mut above = path.ancestors();
        let folder = above.find_map(|folder| self.folders.get(folder));
        folder.unwrap_or(&self.editor)
    }

    /// Where sounding pitches are shown: everywhere else, and in which folders.
    fn sounding(&self) -> (bool, BTreeMap<PathBuf, bool>) {
        let folders = self.folders.iter();
        let folders = folders.map(|(path, editor)| (path.clone(), editor.sounding));
        (self.editor.sounding, folders.collect())
    }
}

impl Found {
    fn of(path: &Path, editor: &Self, texts: &impl Texts) -> Self {
        if path.as_os_str().is_empty() {
            // A text that lies nowhere has no settings file.
            return editor.clone();
        }
        let found = engine::discover(path, texts);
        if found.files.is_empty() && found.errors.is_empty() {
            return editor.clone();
        }
        let words: Vec<_> = found.errors.iter().map(ToString::to_string).collect();
        let mut files: BTreeMap<_, Vec<_>> = found
            .files
            .into_iter()
            .map(|file| (file, Vec::new()))
            .collect();
        for error in found.errors {
            files.entry(error.path.clone()).or_default().push(error);
        }
        Self {
            files,
            ..Self::said(found.settings, &words)
        }
    }

    fn said(settings: Settings, errors: &[String]) -> Self {
        Self {
            settings: Arc::new(settings),
            files: BTreeMap::new(),
            complaint: (!errors.is_empty()).then(|| errors.join("\n")),
        }
    }

    /// What holds from now on: while something is not understood, all that held before it was said.
    fn after(self, before: Option<&Self>) -> Self {
        match before {
            Some(before) if self.complaint.is_some() => Self {
                settings: Arc::clone(&before.settings),
                ..self
            },
            _ => self,
        }
    }
}

impl Cache {
    fn lock(&self) -> MutexGuard<'_, Known> {
        self.known.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The settings for a document, and a complaint about what is not understood of them that was not made before.
    pub(super) fn of(&self, uri: &Url, texts: &impl Texts) -> (Arc<Settings>, Option<String>) {
        let path = uri.to_file_path().unwrap_or_default();
        let mut known = self.lock();
        let found = match known.documents.get(&path) {
            Some(found) => found.clone(),
            None => {
                let found = Found::of(&path, &known.editor(&path).found, texts);
                known.documents.insert(path, found.clone());
                found
            }
        };
        let complaint = found
            .complaint
            .filter(|complaint| known.told.insert(complaint.clone()));
        (found.settings, complaint)
    }

    /// The settings that hold for a score that is not open, of which nothing is kept.
    pub(super) fn once(&self, uri: &Url, texts: &impl Texts) -> Arc<Settings> {
        let path = uri.to_file_path().unwrap_or_default();
        let known = self.lock();
        match known.documents.get(&path) {
            Some(found) => Arc::clone(&found.settings),
            None => Found::of(&path, &known.editor(&path).found, texts).settings,
        }
    }

    /// The settings that were found for a document, with the places they were said in now.
    pub(super) fn known(&self, uri: &Url) -> Option<Arc<Settings>> {
        let path = uri.to_file_path().unwrap_or_default();
        let known = self.lock();
        let found = known.documents.get(&path)?;
        Some(Arc::clone(&found.settings))
    }

    /// Forgets what holds for a document.
    pub(super) fn forget(&self, uri: &Url) {
        let path = uri.to_file_path().unwrap_or_default();
        self.lock().documents.remove(&path);
    }

    /// Looks at the files again. Where something is not understood, all stays as it was before it was said.
    pub(super) fn look_again(&self, texts: &impl Texts) -> Looked {
        let mut known = self.lock();
        let mut documents = std::mem::take(&mut known.documents);
        let mut looked = Looked::default();
        let mut still = HashSet::new();
        for (path, before) in &mut documents {
            let editor = &known.editor(path).found;
            let found = Found::of(path, editor, texts).after(Some(before));
            looked.changed |= found.settings != before.settings;
            if let Some(complaint) = &found.complaint {
                if known.told.insert(complaint.clone()) {
                    looked.complaints.push(complaint.clone());
                }
                still.insert(complaint.clone());
            }
            *before = found;
        }
        // What was put right and is said once more is told once more.
        known.told.retain(|complaint| still.contains(complaint));
        known.documents = documents;
        looked
    }

    /// A number for what the editor says next, so that what is older never takes its place.
    pub(super) fn next_turn(&self) -> u64 {
        self.turns.fetch_add(1, Ordering::Relaxed) + 1
    }

    /// Takes over what the editor's own settings say, as far as all of it is understood.
    pub(super) fn set_editor(&self, turn: u64, answers: Answers, texts: &impl Texts) -> Looked {
        let sounding = {
            let mut known = self.lock();
            if turn < known.turn {
                return Looked::default();
            }
            known.turn = turn;
            let before = known.sounding();
            if let Some(said) = answers.everywhere {
                known.editor = known.editor.next(said);
            }
            if let Some(folders) = answers.folders {
                let folder = |(path, said): (PathBuf, Said)| {
                    let before = known.folders.get(&path).unwrap_or(&known.editor);
                    let now = before.next(said);
                    (path, now)
                };
                known.folders = folders.into_iter().map(folder).collect();
            }
            before != known.sounding()
        };
        let mut looked = self.look_again(texts);
        // A client that has not opened a score yet hears of it when it does.
        looked.complaints.sort();
        Looked { sounding, ..looked }
    }

    /// Whether sounding pitches are shown in a document.
    pub(super) fn sounding(&self, uri: &Url) -> bool {
        let path = uri.to_file_path().unwrap_or_default();
        self.lock().editor(&path).sounding
    }

    /// Every settings file that holds for some document, with what is not understood of it.
    pub(super) fn files(&self) -> BTreeMap<PathBuf, Vec<SettingsError>> {
        let known = self.lock();
        let files = known.documents.values().flat_map(|found| &found.files);
        files
            .map(|(path, errors)| (path.clone(), errors.clone()))
            .collect()
    }
}
