//! The rules' own pages, written where an editor can open them from a finding.

use std::path::PathBuf;
use std::sync::OnceLock;

use tower_lsp::lsp_types::Url;

use files::write::put;
use rules::explain::page;

/// The folder of pages, once they are written.
#[derive(Debug, Default)]
pub(crate) struct Pages {
    folder: OnceLock<PathBuf>,
}

impl Pages {
    /// Writes all pages. Fails when the user's cache folder is not known or cannot be written to.
    pub(crate) fn write(&self) -> std::io::Result<()> {
        let folder = cache()
            .ok_or(std::io::ErrorKind::NotFound)?
            .join(concat!("bellhand/rules-", env!("CARGO_PKG_VERSION")));
        for rule in rules::ALL {
            let path = folder.join(format!("{}.md", rule.name));
            if let Some(group) = path.parent() {
                std::fs::create_dir_all(group)?;
            }
            let page = page(rule);
            // One that is right already stays: the disk may be full.
            if std::fs::read(&path).ok().as_deref() != Some(page.as_bytes()) {
                put(&path, page.as_bytes())?;
            }
        }
        // Written twice by two servers, the pages are the same.
        let _ = self.folder.set(folder);
        Ok(())
    }

    /// Where a rule's page lies; `None` until the pages are written.
    pub(crate) fn page(&self, rule: &str) -> Option<Url> {
        Url::from_file_path(self.folder.get()?.join(format!("{rule}.md"))).ok()
    }
}

/// The user's own cache folder; what others can write to would not do for what an editor opens.
pub(crate) fn cache() -> Option<PathBuf> {
    let set = |name| std::env::var_os(name).filter(|value| !value.is_empty());
    set("XDG_CACHE_HOME")
        .or_else(|| set("LOCALAPPDATA"))
        .map(PathBuf::from)
        .or_else(|| set("HOME").map(|home| PathBuf::from(home).join(".cache")))
}
