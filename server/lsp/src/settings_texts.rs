//! Settings files that are open in the editor, whose unsaved text counts.

use std::collections::HashMap;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

use engine::{OnDisk, Texts};
use ropey::Rope;
use serde_json::Value;
use tower_lsp::lsp_types::{DidChangeTextDocumentParams, DidOpenTextDocumentParams, Url};

use super::positions::Encoding;

/// The texts of open settings files.
#[derive(Debug, Default)]
pub(super) struct SettingsTexts(Mutex<HashMap<PathBuf, Rope>>);

/// The path of a file that may hold settings, by its address.
pub(super) fn settings_path(uri: &Url) -> Option<PathBuf> {
    let path = uri.to_file_path().ok()?;
    let is_toml = path.extension().is_some_and(|ending| ending == "toml");
    is_toml.then_some(path)
}

impl SettingsTexts {
    fn lock(&self) -> MutexGuard<'_, HashMap<PathBuf, Rope>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Takes in a message about a text, in the order in which the client speaks. What cannot be followed is forgotten, so
    /// that the file on disk counts again.
    pub(super) fn take_in(&self, method: &str, params: &Value, encoding: Encoding) {
        let of = params
            .pointer("/textDocument/uri")
            .and_then(Value::as_str)
            // This comes by at every keystroke in a score.
            .filter(|uri| uri.ends_with(".toml"))
            .and_then(|uri| settings_path(&Url::parse(uri).ok()?));
        let Some(path) = of else {
            return;
        };
        let mut texts = self.lock();
        let text = match method {
            "textDocument/didOpen" => opened(params),
            "textDocument/didChange" => texts
                .remove(&path)
                .and_then(|rope| changed(rope, params, encoding)),
            "textDocument/didClose" => None,
            _ => return,
        };
        match text {
            Some(text) => texts.insert(path, text),
            None => texts.remove(&path),
        };
    }

    /// The text of a settings file as the editor or the disk has it.
    pub(super) fn rope(&self, path: &Path) -> Option<Rope> {
        let open = self.lock().get(path).cloned();
        open.or_else(|| Some(Rope::from_str(&OnDisk.read(path).ok()?)))
    }
}

impl Texts for SettingsTexts {
    fn read(&self, path: &Path) -> io::Result<String> {
        let open = self.lock().get(path).map(Rope::to_string);
        open.map_or_else(|| OnDisk.read(path), Ok)
    }

    fn has(&self, path: &Path) -> bool {
        // One that was never saved holds for nobody yet.
        OnDisk.has(path)
    }
}

fn opened(params: &Value) -> Option<Rope> {
    let params: DidOpenTextDocumentParams = serde_json::from_value(params.clone()).ok()?;
    Some(Rope::from_str(&params.text_document.text))
}

fn changed(mut rope: Rope, params: &Value, encoding: Encoding) -> Option<Rope> {
    let params: DidChangeTextDocumentParams = serde_json::from_value(params.clone()).ok()?;
    for change in params.content_changes {
        match change.range {
            Some(range) => {
                let span = encoding.span(&rope, range);
                let first = rope.byte_to_char(span.start);
                rope.remove(first..rope.byte_to_char(span.end));
                rope.insert(first, &change.text);
            }
            None => rope = Rope::from_str(&change.text),
        }
    }
    Some(rope)
}
