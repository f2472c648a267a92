//! What is not understood of settings files, published as diagnostics in those files.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use engine::SettingsError;
use ropey::Rope;
use score::Span;
use serde_json::json;
use tower_lsp::lsp_types::{
    CodeAction, CodeActionKind, CodeActionOrCommand, CodeActionParams, CodeActionResponse,
    Diagnostic, DiagnosticSeverity, Range, TextEdit, Url, WorkspaceEdit,
};

use super::diagnostics::{SOURCE, publish};
use super::positions::Encoding;
use super::shared::Shared;

/// What was published of each settings file.
#[derive(Debug, Default)]
pub(super) struct Published(Mutex<BTreeMap<PathBuf, Vec<SettingsError>>>);

impl Published {
    /// Tells what is new, and takes back what no longer is so.
    pub(super) fn tell(&self, shared: &Shared) {
        // Looked at once it is this one's turn, so that nothing older is told after what is newer.
        let mut published = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let now = shared.settings.files();
        let none = Vec::new();
        let known: BTreeSet<_> = published.keys().chain(now.keys()).collect();
        for path in known {
            let (before, errors) = (
                published.get(path).unwrap_or(&none),
                now.get(path).unwrap_or(&none),
            );
            if before == errors {
                continue;
            }
            if let Ok(uri) = Url::from_file_path(path) {
                let rope = shared.store.settings.rope(path).unwrap_or_default();
                let items = diagnostics(&rope, errors, shared.store.encoding());
                publish(shared, &uri, None, &json!(items).to_string());
            }
        }
        *published = now;
    }
}

fn diagnostics(rope: &Rope, errors: &[SettingsError], encoding: Encoding) -> Vec<Diagnostic> {
    let one = |error: &SettingsError| {
        let range = error.place.as_ref().map(|(bytes, _)| {
            let span = Span::new(bytes.start, bytes.end);
            Range::new(
                encoding.position(rope, span.start),
                encoding.position(rope, span.end),
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

/// What was likely meant, as fixes of problems at a place.
pub(super) fn actions(
    path: &Path,
    params: &CodeActionParams,
    shared: &Shared,
) -> Option<CodeActionResponse> {
    let errors = shared.settings.files().remove(path)?;
    let rope = shared.store.settings.rope(path)?;
    let encoding = shared.store.encoding();
    let asked = encoding.span(&rope, params.range);
    let one = |error: SettingsError| {
        let (bytes, instead) = (error.place.as_ref()?.0.clone(), error.instead.as_ref()?);
        let span = Span::new(bytes.start, bytes.end);
        if !span.meets(asked) {
            return None;
        }
        // What stood in quotes stands in quotes again.
        let quoted = rope.get_byte(span.start).is_some_and(|byte| byte == b'"');
        let text = if quoted {
            json!(instead).to_string()
        } else {
            instead.clone()
        };
        let range = Range::new(
            encoding.position(&rope, span.start),
            encoding.position(&rope, span.end),
        );
        let uri = params.text_document.uri.clone();
        let edit = WorkspaceEdit::new(HashMap::from([(uri, vec![TextEdit::new(range, text)])]));
        Some(CodeActionOrCommand::CodeAction(CodeAction {
            title: format!("Write `{instead}`"),
            kind: Some(CodeActionKind::QUICKFIX),
            edit: Some(edit),
            is_preferred: Some(true),
            diagnostics: Some(diagnostics(&rope, std::slice::from_ref(&error), encoding)),
            ..CodeAction::default()
        }))
    };
    Some(errors.into_iter().filter_map(one).collect())
}
