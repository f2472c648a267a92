//! `textDocument/diagnostic`: findings for a client that asks for them.

use tower_lsp::lsp_types::*;

use crate::lsp::diagnostics;
use crate::lsp::shared::Shared;
use crate::lsp::view::View;

/// The report on a document; none at all when it is not open here.
pub(in crate::lsp) fn report(
    view: Option<&View>,
    previous: Option<&str>,
    shared: &Shared,
) -> DocumentDiagnosticReportResult {
    let Some(view) = view else {
        return full(None, Vec::new());
    };
    let id = result_id(view);
    if previous == Some(id.as_str()) {
        let unchanged = RelatedUnchangedDocumentDiagnosticReport {
            related_documents: None,
            unchanged_document_diagnostic_report: UnchangedDocumentDiagnosticReport {
                result_id: id,
            },
        };
        return DocumentDiagnosticReportResult::Report(DocumentDiagnosticReport::Unchanged(
            unchanged,
        ));
    }
    full(Some(id), diagnostics::all(view, shared))
}

/// Names a text and the settings it was judged by.
fn result_id(view: &View) -> String {
    format!(
        "{}-{:x}",
        view.revision,
        std::sync::Arc::as_ptr(view.judged.settings()).addr()
    )
}

fn full(result_id: Option<String>, items: Vec<Diagnostic>) -> DocumentDiagnosticReportResult {
    DocumentDiagnosticReportResult::Report(DocumentDiagnosticReport::Full(
        RelatedFullDocumentDiagnosticReport {
            related_documents: None,
            full_document_diagnostic_report: FullDocumentDiagnosticReport { result_id, items },
        },
    ))
}
