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

/// A finding as a diagnostic.
pub(super) fn one(view: &View, finding: &Finding, shared: &Shared) -> Diagnostic {
    let takes = &shared.traits().diagnostics;
    let related = || {
        let related = finding.related.iter();
        let related = related.map(|other| DiagnosticRelatedInformation {
            location: Location::new(view.uri.clone(), view.range(other.span)),
            message: other.message.clone(),
        });
        related.collect()
    };
    Diagnostic {
        range: view.range(finding.span),
        severity: Some(match finding.severity {
            Severity::Error => DiagnosticSeverity::ERROR,
            Severity::Warning => DiagnosticSeverity::WARNING,
            Severity::Information => DiagnosticSeverity::INFORMATION,
            Severity::Hint => DiagnosticSeverity::HINT,
        }),
        code: Some(NumberOrString::String(finding.rule.to_owned())),
        code_description: takes
            .links
            .then(|| shared.pages.as_ref()?.page(finding.rule))
            .flatten()
            .map(|href| CodeDescription { href }),
        source: Some(SOURCE.to_owned()),
        message: format!("{} [{}]", finding.message, finding.source),
        related_information: takes.related.then(related),
        tags: (takes.tags && finding.unnecessary).then(|| vec![DiagnosticTag::UNNECESSARY]),
        data: takes.data.then(|| {
            json!({
                "part": finding.part,
                "player": finding.player,
                "bar": finding.bar,
                "source": finding.source,
                "fixes": finding.fixes.iter().map(|fix| &fix.title).collect::<Vec<_>>(),
            })
        }),
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
        let Some(report) = shared.report(&view).await else {
            return;
        };
        // The text may have moved on while it was judged; then the change that moved it waits for its turn here.
        if shared.store.revision(&uri) == Some(view.revision) {
            *pushed = Some(view.revision);
            publish(&shared, &uri, Some(view.version), report.items());
        }
    });
}

/// Takes back what was pushed of a document.
pub(super) fn take_back(shared: &Shared, uri: &Url) {
    if !shared.traits().pulls {
        publish(shared, uri, None, "[]");
    }
}

/// Pushes diagnostics that are JSON already.
pub(super) fn publish(shared: &Shared, uri: &Url, version: Option<i32>, items: &str) {
    let uri = json!(uri);
    let version = version.map_or_else(String::new, |version| format!(r#","version":{version}"#));
    shared.say(format!(
        r#"{{"jsonrpc":"2.0","method":"textDocument/publishDiagnostics","params":{{"uri":{uri}{version},"diagnostics":{items}}}}}"#
    ));
}
