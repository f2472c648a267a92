//! Opens the picture of a part in whatever shows pictures.

use std::path::PathBuf;
use std::sync::Arc;

use serde_json::Value;
use tower_lsp::jsonrpc::{Error, Result};
use tower_lsp::lsp_types::{Position, ShowDocumentParams, Url};

use super::{not_open, show};
use crate::methods::picture::drawn_at;
use crate::pages;
use crate::shared::{Shared, request_failed};

/// Draws the part at a place into a file and asks the client to open it. Fails where there is no horn part.
pub(super) async fn open(
    uri: Url,
    position: Position,
    shared: &Arc<Shared>,
) -> Result<Option<Value>> {
    let view = shared.view(&uri).await?.ok_or_else(|| not_open(&uri))?;
    let drawn = tokio::task::spawn_blocking(move || {
        let (part, svg) =
            drawn_at(&view, position).ok_or_else(|| "no horn part stands here".to_owned())?;
        let path = path(&part)?;
        let failed = |error: std::io::Error| format!("{}: {error}", path.display());
        if let Some(folder) = path.parent() {
            std::fs::create_dir_all(folder).map_err(failed)?;
        }
        files::write::put(&path, svg.as_bytes()).map_err(failed)?;
        Url::from_file_path(&path).map_err(|()| format!("{} has no address", path.display()))
    });
    let drawn = drawn.await.map_err(|_| Error::internal_error())?;
    let picture = ShowDocumentParams {
        uri: drawn.map_err(request_failed)?,
        external: Some(true),
        take_focus: None,
        selection: None,
    };
    show(picture, shared).await
}

/// Where the picture of a part lies: in the user's own cache, by the part's name, one for each server.
fn path(part: &str) -> std::result::Result<PathBuf, String> {
    let folder = pages::cache().ok_or("no folder for pictures is known here")?;
    let name: String = part
        .chars()
        .map(|sign| if sign.is_alphanumeric() { sign } else { '-' })
        .take(60)
        .collect();
    let name = format!("{name}-{}.svg", std::process::id());
    Ok(folder.join("bellhand/pictures").join(name))
}
