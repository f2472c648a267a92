//! `textDocument/diagnostic`: findings for a client that asks for them, answered before the protocol library, which would
//! write every finding twice.

use std::sync::Arc;

use serde::Deserialize;
use serde_json::{Value, json};
use tower_lsp::lsp_types::TextDocumentIdentifier;

use crate::shared::{Shared, ask_again};

/// What is asked.
#[derive(Debug, Deserialize)]
#[serde(rename_all = "camelCase")]
pub(crate) struct Asked {
    text_document: TextDocumentIdentifier,
    #[serde(default)]
    previous_result_id: Option<String>,
}

impl Asked {
    /// Reads the parameters of a request; `None` where they are none.
    pub(crate) fn read(message: &Value) -> Option<Self> {
        Self::deserialize(message.get("params")?).ok()
    }
}

/// Answers a request by its number.
pub(crate) async fn answer(id: Value, asked: Asked, shared: Arc<Shared>) {
    let told = match tell(&asked, &shared).await {
        Ok(result) => format!(r#""result":{result}"#),
        Err(error) => {
            let error = ask_again(error);
            let error =
                json!({ "code": error.code.code(), "message": error.message, "data": error.data });
            format!(r#""error":{error}"#)
        }
    };
    shared.say(format!(r#"{{"jsonrpc":"2.0","id":{id},{told}}}"#));
}

/// The report on a document; one that says nothing when it is not open here.
async fn tell(asked: &Asked, shared: &Arc<Shared>) -> tower_lsp::jsonrpc::Result<String> {
    let Some(view) = shared.view(&asked.text_document.uri).await? else {
        return Ok(r#"{"kind":"full","items":[]}"#.to_owned());
    };
    let Some(report) = shared.report(&view).await else {
        return Err(tower_lsp::jsonrpc::Error::internal_error());
    };
    let id = report.id();
    if asked.previous_result_id.as_deref() == Some(id) {
        return Ok(format!(r#"{{"kind":"unchanged","resultId":"{id}"}}"#));
    }
    let items = report.items();
    Ok(format!(
        r#"{{"kind":"full","resultId":"{id}","items":{items}}}"#
    ))
}
