//! `workspace/diagnostic`: the findings of every score in the editor's folders, also of those that are not open.

use std::collections::HashMap;
use std::sync::Arc;

use reading::{Stop, StopFlag};
use serde_json::json;
use tower_lsp::jsonrpc::{Error, Result};
use tower_lsp::lsp_types::notification::{Notification as _, Progress};
use tower_lsp::lsp_types::{
    FullDocumentDiagnosticReport, ProgressParams, ProgressParamsValue, ProgressToken,
    UnchangedDocumentDiagnosticReport, Url, WorkDoneProgress, WorkDoneProgressBegin,
    WorkDoneProgressEnd, WorkDoneProgressReport, WorkspaceDiagnosticParams,
    WorkspaceDiagnosticReport, WorkspaceDiagnosticReportResult, WorkspaceDocumentDiagnosticReport,
    WorkspaceFullDocumentDiagnosticReport, WorkspaceUnchangedDocumentDiagnosticReport,
};

use crate::shared::Shared;
use crate::unopened::{self, Told};

/// Stops what is being judged when nobody waits for it any more.
#[derive(Debug, Default)]
struct Cancelled(StopFlag);

impl Drop for Cancelled {
    fn drop(&mut self) {
        self.0.set();
    }
}

/// Judges all scores that are not open; those that are have a report of their own. When the client cancels the request,
/// the one that is being judged is the last.
pub(crate) async fn report(
    params: WorkspaceDiagnosticParams,
    shared: &Arc<Shared>,
) -> Result<WorkspaceDiagnosticReportResult> {
    let cancelled = Cancelled::default();
    let known: HashMap<Url, String> = params
        .previous_result_ids
        .into_iter()
        .map(|known| (known.uri, known.value))
        .collect();
    let all = Arc::clone(shared);
    let paths = tokio::task::spawn_blocking(move || unopened::scores(&all));
    let paths = paths.await.map_err(|_| Error::internal_error())?;
    let token = params.work_done_progress_params.work_done_token;
    let bar = Bar { token, shared };
    bar.begin();
    let count = paths.len();
    let mut items = Vec::new();
    for (place, path) in paths.into_iter().enumerate() {
        bar.at(place, count);
        let open =
            Url::from_file_path(&path).is_ok_and(|uri| shared.store.revision(&uri).is_some());
        if open {
            continue;
        }
        let (judging, stop) = (Arc::clone(shared), cancelled.0.clone());
        let told = tokio::task::spawn_blocking(move || {
            stop.look()?;
            judging.unopened.told(&path, &judging, &stop)
        });
        let told = told.await.map_err(|_| Error::internal_error())?;
        // Only who no longer listens stops it.
        if let Ok(Some(told)) = told {
            items.push(item(&told, known.get(&told.uri)));
        }
    }
    bar.end();
    Ok(WorkspaceDiagnosticReportResult::Report(
        WorkspaceDiagnosticReport { items },
    ))
}

/// The report on one score: that nothing has changed, where the client knows it already.
fn item(told: &Told, known: Option<&String>) -> WorkspaceDocumentDiagnosticReport {
    if known == Some(&told.id) {
        return WorkspaceDocumentDiagnosticReport::Unchanged(
            WorkspaceUnchangedDocumentDiagnosticReport {
                uri: told.uri.clone(),
                version: None,
                unchanged_document_diagnostic_report: UnchangedDocumentDiagnosticReport {
                    result_id: told.id.clone(),
                },
            },
        );
    }
    WorkspaceDocumentDiagnosticReport::Full(WorkspaceFullDocumentDiagnosticReport {
        uri: told.uri.clone(),
        version: None,
        full_document_diagnostic_report: FullDocumentDiagnosticReport {
            result_id: Some(told.id.clone()),
            items: told.findings.clone(),
        },
    })
}

/// The progress that a client shows.
struct Bar<'a> {
    token: Option<ProgressToken>,
    shared: &'a Shared,
}

/// How many scores are judged between two words about progress.
const STEP: usize = 20;

impl Bar<'_> {
    /// Says it past the protocol library, which may let an answer overtake a notification; a token is dead by then.
    fn say(&self, progress: WorkDoneProgress) {
        if let Some(token) = self.token.clone() {
            let value = ProgressParamsValue::WorkDone(progress);
            let params = ProgressParams { token, value };
            let said = json!({ "jsonrpc": "2.0", "method": Progress::METHOD, "params": params });
            self.shared.say(said.to_string());
        }
    }

    fn begin(&self) {
        let begin = WorkDoneProgressBegin {
            title: "Reading the scores of this folder".to_owned(),
            cancellable: Some(true),
            message: None,
            percentage: Some(0),
        };
        self.say(WorkDoneProgress::Begin(begin));
    }

    fn at(&self, place: usize, of: usize) {
        if place > 0 && place.is_multiple_of(STEP) {
            let percentage = u32::try_from(place * 100 / of.max(1)).unwrap_or(100);
            let report = WorkDoneProgressReport {
                cancellable: Some(true),
                message: Some(format!("{place} of {of}")),
                percentage: Some(percentage),
            };
            self.say(WorkDoneProgress::Report(report));
        }
    }

    fn end(&self) {
        let end = WorkDoneProgressEnd { message: None };
        self.say(WorkDoneProgress::End(end));
    }
}
