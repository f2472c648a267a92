//! Scores that lie in the editor's folders and are not open: read when somebody asks, and again when they have changed.

use std::collections::HashMap;
use std::hash::{BuildHasher as _, BuildHasherDefault, DefaultHasher};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError};
use std::time::SystemTime;

use engine::{Judged, Stop};
use notation::{Document, Format};
use tower_lsp::lsp_types::{Diagnostic, Url};

use super::report::Report;
use super::shared::Shared;
use super::view::View;

/// The most scores that are looked at; a house keeps fewer in one folder. Bellhand's own choice.
const MOST: usize = 20_000;

/// The most bytes of a score that is read unasked; the largest real ones are a fraction of it. Bellhand's own choice.
const LARGEST: u64 = 32 << 20;

/// What is known of the scores.
#[derive(Debug, Default)]
pub(crate) struct Unopened {
    known: Mutex<HashMap<PathBuf, Known>>,
    /// How often the settings may have changed.
    settings: AtomicU64,
}

#[derive(Debug)]
struct Known {
    stamp: Stamp,
    told: Arc<Told>,
}

/// What tells one state of a file, and of the settings, from another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Stamp {
    changed: Option<SystemTime>,
    length: u64,
    settings: u64,
}

/// What is told of a score.
#[derive(Debug)]
pub(crate) struct Told {
    /// Its address.
    pub(crate) uri: Url,
    /// Its pieces and parts: what each is called, in which piece, and where it is declared.
    pub(crate) names: Vec<Named>,
    /// Its findings.
    pub(crate) findings: Vec<Diagnostic>,
    /// A name for these findings: the same for the same ones.
    pub(crate) id: String,
}

/// A piece or part by its name.
#[derive(Debug, Clone)]
pub(crate) struct Named {
    pub(crate) name: String,
    /// The piece a part is of; `None` for a piece.
    pub(crate) of: Option<String>,
    pub(crate) range: tower_lsp::lsp_types::Range,
}

impl Unopened {
    fn lock(&self) -> MutexGuard<'_, HashMap<PathBuf, Known>> {
        self.known.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The settings may have changed, so that all is judged again when somebody asks.
    pub(crate) fn settings_changed(&self) {
        self.settings.fetch_add(1, Ordering::Relaxed);
    }

    /// What is told of a score; `None` where it cannot be read, or is none. Fails when `stop` says so.
    pub(crate) fn told<S: Stop>(
        &self,
        path: &Path,
        shared: &Shared,
        stop: &S,
    ) -> Result<Option<Arc<Told>>, S::Stopped> {
        stop.look()?;
        let Some(stamp) = self.stamp(path) else {
            return Ok(None);
        };
        let known = self.lock();
        let same = known.get(path).filter(|known| known.stamp == stamp);
        if let Some(known) = same {
            return Ok(Some(Arc::clone(&known.told)));
        }
        drop(known);
        let Some(view) = read(path, shared, stop)? else {
            return Ok(None);
        };
        let told = Arc::new(Told::of(&view, shared));
        let known = Known {
            stamp,
            told: Arc::clone(&told),
        };
        self.lock().insert(path.to_owned(), known);
        Ok(Some(told))
    }

    fn stamp(&self, path: &Path) -> Option<Stamp> {
        let data = std::fs::metadata(path).ok()?;
        (data.len() <= LARGEST).then(|| Stamp {
            changed: data.modified().ok(),
            length: data.len(),
            settings: self.settings.load(Ordering::Relaxed),
        })
    }
}

/// The scores in all of the editor's folders, each once, in the order of their paths.
pub(crate) fn scores(shared: &Shared) -> Vec<PathBuf> {
    let folders = shared.folders.all();
    let folders = folders.iter().filter_map(|uri| uri.to_file_path().ok());
    let found = folders.flat_map(|folder| files::walk(&folder).collect::<Vec<_>>());
    let mut scores: Vec<PathBuf> = found
        .filter_map(|found| match found {
            Ok(files::Found::Score(path)) => Some(path),
            Ok(files::Found::Folder(_)) | Err(_) => None,
        })
        .take(MOST)
        .collect();
    scores.sort_unstable();
    scores.dedup();
    scores
}

/// Reads and judges a score as it lies on disk.
fn read<S: Stop>(path: &Path, shared: &Shared, stop: &S) -> Result<Option<View>, S::Stopped> {
    let document = || {
        let bytes = std::fs::read(path).ok()?;
        Document::from_bytes(Format::of_path(path)?, &bytes).ok()
    };
    let (Some(document), Ok(uri)) = (document(), Url::from_file_path(path)) else {
        return Ok(None);
    };
    let settings = shared.settings.once(&uri, &shared.store.settings);
    Ok(Some(View {
        uri,
        version: 0,
        revision: 0,
        judged: Judged::first(document, settings, stop)?,
        encoding: shared.store.encoding(),
        touched: 0,
        report: OnceLock::new(),
    }))
}

impl Told {
    /// What is told of a score that has been read.
    pub(crate) fn of(view: &View, shared: &Shared) -> Self {
        let findings = Report::told(view, shared);
        let hasher = BuildHasherDefault::<DefaultHasher>::default();
        // Diagnostics are strings and numbers; nothing in them cannot be written.
        let words = serde_json::to_string(&findings).unwrap_or_default();
        Self {
            uri: view.uri.clone(),
            names: names(view),
            findings,
            id: format!("{:016x}", hasher.hash_one(&words)),
        }
    }
}

/// The pieces and parts of a score by their names; what has none is not found by one.
fn names(view: &View) -> Vec<Named> {
    let mut names = Vec::new();
    for placed in &view.judged.document().score().pieces {
        let text = |text: &Option<score::Text>| {
            let text = text.as_ref()?;
            let words = text.text.trim().to_owned();
            (!words.is_empty()).then(|| (words, text.span.shifted(placed.base)))
        };
        let title = text(&placed.piece.title);
        let of = title.as_ref().map(|(title, _)| title.clone());
        names.extend(title.map(|(name, span)| Named {
            name,
            of: None,
            range: view.range(span),
        }));
        let parts = placed.piece.parts.iter();
        names.extend(parts.filter_map(|part| {
            let (name, span) = text(&part.name)?;
            Some(Named {
                name,
                of: Some(of.clone().unwrap_or_default()),
                range: view.range(span),
            })
        }));
    }
    names
}
