//! Findings as diagnostics, pushed when the client cannot ask for them.

use std::sync::Arc;

use engine::{Finding, Severity};
use serde_json::json;
use tower_lsp::lsp_types::{
    CodeDescription, Diagnostic, DiagnosticRelatedInformation, DiagnosticSeverity, DiagnosticTag,
    Location, NumberOrString, Url,
};

use super::shared::Shared;
use super::view::View;

/// The name diagnostics carry.
pub(super) const SOURCE: &str = "bellhand";

/// All findings of a view.
pub(super) fn all(view: &View, shared: &Shared) -> Vec<Diagnostic> {
    view.judged
        .findings()
        .iter()
        .map(|finding| one(view, finding, shared))
        .collect()
}

/// A finding as a diagnostic.
pub(super) fn one(view: &View, finding: &Finding, shared: &Shared) -> Diagnostic {
    let related = finding
        .related
        .iter()
        .map(|other| DiagnosticRelatedInformation {
            location: Location::new(view.uri.clone(), view.range(other.span)),
            message: other.message.clone(),
        })
        .collect();
    Diagnostic {
        range: view.range(finding.span),
        severity: Some(match finding.severity {
            Severity::Error => DiagnosticSeverity::ERROR,
            Severity::Warning => DiagnosticSeverity::WARNING,
            Severity::Information => DiagnosticSeverity::INFORMATION,
            Severity::Hint => DiagnosticSeverity::HINT,
        }),
        code: Some(NumberOrString::String(finding.rule.to_owned())),
        code_description: shared
            .pages
            .page(finding.rule)
            .map(|href| CodeDescription { href }),
        source: Some(SOURCE.to_owned()),
        message: format!("{} [{}]", finding.message, finding.source),
        related_information: Some(related),
        tags: finding
            .unnecessary
            .then(|| vec![DiagnosticTag::UNNECESSARY]),
        data: Some(json!({
            "part": finding.part,
            "player": finding.player,
            "bar": finding.bar,
            "source": finding.source,
            "fixes": finding.fixes.iter().map(|fix| &fix.title).collect::<Vec<_>>(),
        })),
    }
}

/// Pushes a document's findings to a client that does not ask for them: those of its newest text, once, however many
/// changes asked for it meanwhile.
pub(super) fn schedule(shared: &Arc<Shared>, uri: Url) {
    if shared.traits().pulls {
        return;
    }
    let shared = Arc::clone(shared);
    tokio::spawn(async move {
        let Some(pushed) = shared.store.entry(&uri).map(|entry| entry.pushed) else {
            return;
        };
        // One after the other, so that findings of an older text never come after those of a newer.
        let mut pushed = pushed.lock().await;
        if shared
            .store
            .revision(&uri)
            .is_none_or(|now| *pushed == Some(now))
        {
            return;
        }
        let Ok(Some(view)) = shared.view_now(&uri).await else {
            return;
        };
        // The text may have moved on while it was judged; then the change that moved it waits for its turn here.
        if shared.store.revision(&uri) == Some(view.revision) {
            *pushed = Some(view.revision);
            let diagnostics = all(&view, &shared);
            shared
                .client
                .publish_diagnostics(uri, diagnostics, Some(view.version))
                .await;
        }
    });
}
