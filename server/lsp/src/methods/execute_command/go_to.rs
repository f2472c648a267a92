//! Goes to a place in a text.

use serde_json::Value;
use tower_lsp::jsonrpc::Result;
use tower_lsp::lsp_types::{Range, ShowDocumentParams, Url};

use super::show;
use crate::shared::Shared;

/// Asks the client to show a range of a text.
pub(super) async fn go(uri: Url, range: Range, shared: &Shared) -> Result<Option<Value>> {
    let place = ShowDocumentParams {
        uri,
        external: None,
        take_focus: Some(true),
        selection: Some(range),
    };
    show(place, shared).await
}
