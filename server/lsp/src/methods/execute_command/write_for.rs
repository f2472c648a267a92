//! Asks for which horn a part is to be written, and writes it.

use std::sync::Arc;

use horn::WrittenFor;
use serde_json::Value;
use tower_lsp::jsonrpc::{Error, Result};
use tower_lsp::lsp_types::{MessageActionItem, MessageType, Position, Url};

use super::not_open;
use crate::methods::code_action::rewritten;
use crate::methods::code_lens::declared_at;
use crate::methods::edit::workspace_edit;
use crate::shared::{Shared, content_modified, request_failed};

/// Asks, and applies the edits of what is chosen; nothing where nothing is. Fails where the part cannot be written so.
pub(super) async fn write(
    uri: Url,
    position: Position,
    shared: &Arc<Shared>,
) -> Result<Option<Value>> {
    let view = shared.view(&uri).await?.ok_or_else(|| not_open(&uri))?;
    let none = || request_failed("no horn part is declared here".to_owned());
    let horn = declared_at(&view, position).ok_or_else(none)?;
    let label = view
        .horns()
        .nth(horn)
        .map(|(_, _, horn)| horn.label.clone());
    let choices = WrittenFor::ALL.map(|target| MessageActionItem {
        title: target.to_string(),
        properties: std::collections::HashMap::new(),
    });
    let asked = format!(
        "Write {} for which horn? The notes move too, so that it sounds as before.",
        label.unwrap_or_default()
    );
    let chosen = shared
        .client
        .show_message_request(MessageType::INFO, asked, Some(choices.to_vec()))
        .await?;
    let Some(chosen) = chosen else {
        return Ok(None);
    };
    // It may have been written on while the question stood.
    let view = shared.view(&uri).await?.ok_or_else(|| not_open(&uri))?;
    if declared_at(&view, position) != Some(horn) {
        return Err(content_modified());
    }
    let made = Arc::clone(shared);
    let edit = tokio::task::spawn_blocking(move || {
        let edits = rewritten(&view, horn, &chosen.title)?;
        Ok::<_, String>(workspace_edit(&view, &made, &edits))
    });
    let edit = edit.await.map_err(|_| Error::internal_error())?;
    let edit = edit.map_err(request_failed)?;
    let applied = shared.client.apply_edit(edit).await?;
    match applied.failure_reason {
        _ if applied.applied => Ok(Some(Value::Bool(true))),
        Some(why) => Err(request_failed(why)),
        None => Err(request_failed(
            "the editor did not take the edits".to_owned(),
        )),
    }
}
