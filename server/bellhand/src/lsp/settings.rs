//! The settings that hold for each folder, found once and again when they change: those of the nearest file, and where
//! there is none, the editor's own.

use std::collections::{HashMap, HashSet};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use engine::Settings;
use tower_lsp::lsp_types::Url;

/// Settings by folder.
#[derive(Debug, Default)]
pub(super) struct Cache {
    known: Mutex<Known>,
}

#[derive(Debug, Default)]
struct Known {
    folders: HashMap<PathBuf, Found>,
    /// What holds where there is no file.
    editor: Found,
    /// What was complained about already.
    told: HashSet<String>,
}

impl Known {
    /// Forgets what was found, and lets complaints be made again.
    fn forget(&mut self) {
        self.folders.clear();
        self.told.clear();
    }
}

/// What holds for a folder: the defaults where there is a complaint.
#[derive(Debug, Clone, Default, PartialEq)]
struct Found {
    settings: Arc<Settings>,
    complaint: Option<String>,
}

impl Found {
    fn of(folder: &Path, editor: &Self) -> Self {
        if folder.as_os_str().is_empty() {
            // A text that lies nowhere has no settings file.
            return editor.clone();
        }
        match engine::discover(folder) {
            Ok((_, None)) => editor.clone(),
            Ok((settings, Some(_))) => Self::said(Ok(settings)),
            Err(error) => Self::said(Err(error.to_string())),
        }
    }

    fn said(settings: Result<Settings, String>) -> Self {
        match settings {
            Ok(settings) => Self {
                settings: Arc::new(settings),
                complaint: None,
            },
            Err(complaint) => Self {
                settings: Arc::default(),
                complaint: Some(complaint),
            },
        }
    }
}

impl Cache {
    fn lock(&self) -> MutexGuard<'_, Known> {
        self.known.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The settings for a document, and a complaint if they cannot be used that was not made before.
    pub(super) fn of(&self, uri: &Url) -> (Arc<Settings>, Option<String>) {
        let folder = uri
            .to_file_path()
            .ok()
            .and_then(|path| path.parent().map(Path::to_owned))
            .unwrap_or_default();
        let mut known = self.lock();
        let found = match known.folders.get(&folder) {
            Some(found) => found.clone(),
            None => {
                let found = Found::of(&folder, &known.editor);
                known.folders.insert(folder, found.clone());
                found
            }
        };
        let complaint = found
            .complaint
            .filter(|complaint| known.told.insert(complaint.clone()));
        (found.settings, complaint)
    }

    /// Looks at the files again; whether any folder has other settings than before.
    pub(super) fn look_again(&self) -> bool {
        let mut known = self.lock();
        let same = known
            .folders
            .iter()
            .all(|(folder, found)| Found::of(folder, &known.editor) == *found);
        if !same {
            known.forget();
        }
        !same
    }

    /// Takes over what the editor's own settings say; whether that is something else than before.
    pub(super) fn set_editor(&self, said: Result<Settings, String>) -> bool {
        let found = Found::said(said);
        let mut known = self.lock();
        let changed = known.editor != found;
        if changed {
            known.editor = found;
            known.forget();
        }
        changed
    }
}
