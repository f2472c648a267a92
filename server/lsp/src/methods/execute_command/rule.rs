//! Opens a rule's page.

use std::sync::Arc;

use serde_json::Value;
use tower_lsp::jsonrpc::{Error, Result};
use tower_lsp::lsp_types::ShowDocumentParams;

use super::show;
use crate::shared::{Shared, request_failed};

/// Opens the page of a rule by its name. Fails where there is no such rule, or its page cannot be written.
pub(super) async fn open(rule: &str, shared: &Arc<Shared>) -> Result<Option<Value>> {
    let none = || request_failed(format!("there is no rule `{rule}`"));
    let known = rules::rule(rule).ok_or_else(none)?;
    let pages = Arc::clone(shared);
    let page = tokio::task::spawn_blocking(move || {
        let pages = pages.pages.as_ref()?;
        // They may not have been written yet.
        pages.page(known.name).or_else(|| {
            pages.write().ok()?;
            pages.page(known.name)
        })
    });
    let page = page.await.map_err(|_| Error::internal_error())?;
    let uri = page.ok_or_else(|| {
        request_failed(format!(
            "the rules' pages cannot be written here; `bellhand explain {}` shows it in a terminal",
            known.name
        ))
    })?;
    let page = ShowDocumentParams {
        uri,
        external: None,
        take_focus: Some(true),
        selection: None,
    };
    show(page, shared).await
}
