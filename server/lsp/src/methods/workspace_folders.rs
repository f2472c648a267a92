//! `workspace/didChangeWorkspaceFolders`: the folders the editor works in, each of which may have settings of its own.

use std::sync::{Mutex, MutexGuard, PoisonError};

use tower_lsp::lsp_types::{InitializeParams, Url, WorkspaceFoldersChangeEvent};

/// The editor's folders.
#[derive(Debug, Default)]
pub(crate) struct Folders(Mutex<Vec<Url>>);

impl Folders {
    fn lock(&self) -> MutexGuard<'_, Vec<Url>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Those an editor begins with.
    pub(crate) fn begin(&self, params: &InitializeParams) {
        let folders = params.workspace_folders.iter().flatten();
        *self.lock() = folders.map(|folder| folder.uri.clone()).collect();
    }

    /// Those that come and go.
    pub(crate) fn change(&self, event: WorkspaceFoldersChangeEvent) {
        let mut folders = self.lock();
        folders.retain(|known| event.removed.iter().all(|gone| gone.uri != *known));
        for new in event.added {
            if !folders.contains(&new.uri) {
                folders.push(new.uri);
            }
        }
    }

    /// All of them.
    pub(crate) fn all(&self) -> Vec<Url> {
        self.lock().clone()
    }
}
