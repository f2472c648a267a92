//! The settings that hold for each folder, found once and again when they change.

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
    /// What was complained about already.
    told: HashSet<String>,
}

/// What holds for a folder: the defaults where there is a complaint.
#[derive(Debug, Clone, PartialEq)]
struct Found {
    settings: Arc<Settings>,
    complaint: Option<String>,
}

impl Found {
    fn of(folder: &Path) -> Self {
        let found = if folder.as_os_str().is_empty() {
            // A text that lies nowhere has no settings file.
            Ok(Settings::default())
        } else {
            engine::discover(folder).map(|(settings, _)| settings)
        };
        match found {
            Ok(settings) => Self {
                settings: Arc::new(settings),
                complaint: None,
            },
            Err(error) => Self {
                settings: Arc::default(),
                complaint: Some(error.to_string()),
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
                let found = Found::of(&folder);
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
            .all(|(folder, found)| Found::of(folder) == *found);
        if !same {
            *known = Known::default();
        }
        !same
    }
}
