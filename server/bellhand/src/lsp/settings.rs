//! The settings that hold for each folder, found once and again when they change.

use std::collections::{HashMap, HashSet};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

use engine::Settings;
use tower_lsp::lsp_types::Url;

/// Settings by folder.
#[derive(Debug, Default)]
pub(super) struct Cache {
    known: Mutex<Known>,
}

#[derive(Debug, Default)]
struct Known {
    folders: HashMap<PathBuf, Arc<Settings>>,
    /// What was complained about already.
    told: HashSet<String>,
}

impl Cache {
    /// The settings for a document, and a complaint to make if they cannot be used; then the defaults hold.
    pub(super) fn of(&self, uri: &Url) -> (Arc<Settings>, Option<String>) {
        let folder = uri
            .to_file_path()
            .ok()
            .and_then(|path| path.parent().map(Path::to_owned))
            .unwrap_or_default();
        let mut known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(settings) = known.folders.get(&folder) {
            return (Arc::clone(settings), None);
        }
        let found = if folder.as_os_str().is_empty() {
            // A text that lies nowhere has no settings file.
            Ok(Settings::default())
        } else {
            engine::discover(&folder).map(|(settings, _)| settings)
        };
        let (settings, complaint) = match found {
            Ok(settings) => (Arc::new(settings), None),
            Err(error) => (Arc::default(), Some(error.to_string())),
        };
        known.folders.insert(folder, Arc::clone(&settings));
        let complaint = complaint.filter(|complaint| known.told.insert(complaint.clone()));
        (settings, complaint)
    }

    /// Forgets what was found, since a settings file has changed.
    pub(super) fn forget(&self) {
        let mut known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        known.folders.clear();
        known.told.clear();
    }
}
