//! What is not understood of settings files, told as diagnostics in those files.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use engine::{OnDisk, SettingsError, Texts as _};
use ropey::Rope;
use score::Span;
use serde_json::json;
use tower_lsp::lsp_types::{Diagnostic, DiagnosticSeverity, Range, Url};

use super::diagnostics::{SOURCE, publish};
use super::positions::Encoding;
use super::shared::Shared;

/// What was told of each settings file.
#[derive(Debug, Default)]
pub(super) struct Told(Mutex<BTreeMap<PathBuf, Vec<SettingsError>>>);

impl Told {
    /// Tells what is new, and takes back what no longer is so.
    pub(super) fn tell(&self, shared: &Shared) {
        let now = shared.settings.files();
        let mut told = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let none = Vec::new();
        let known = told.keys().chain(now.keys());
        for path in known {
            let (before, errors) = (
                told.get(path).unwrap_or(&none),
                now.get(path).unwrap_or(&none),
            );
            if before == errors {
                continue;
            }
            if let Ok(uri) = Url::from_file_path(path) {
                let items = diagnostics(path, errors, shared.store.encoding());
                publish(shared, &uri, None, &json!(items).to_string());
            }
        }
        *told = now;
    }
}

fn diagnostics(path: &Path, errors: &[SettingsError], encoding: Encoding) -> Vec<Diagnostic> {
    // A file that has gone meanwhile has its errors at its start.
    let text = OnDisk.read(path).unwrap_or_default();
    let rope = Rope::from_str(&text);
    let one = |error: &SettingsError| {
        let range = error.place.as_ref().map(|(bytes, _)| {
            let span = Span::new(bytes.start, bytes.end);
            Range::new(
                encoding.position(&rope, span.start),
                encoding.position(&rope, span.end),
            )
        });
        Diagnostic {
            range: range.unwrap_or_default(),
            severity: Some(DiagnosticSeverity::ERROR),
            source: Some(SOURCE.to_owned()),
            message: error.message.clone(),
            ..Diagnostic::default()
        }
    };
    errors.iter().map(one).collect()
}
