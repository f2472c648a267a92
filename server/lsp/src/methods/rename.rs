//! `textDocument/rename`: another name or id for a part, wherever it is called by it, never one that changes what sounds.

use engine::Mentions;
use tower_lsp::jsonrpc::Result;
use tower_lsp::lsp_types::{Position, PrepareRenameResponse, WorkspaceEdit};

use super::edit::workspace_edit;
use crate::shared::{Shared, request_failed};
use crate::view::View;

/// What would get another name at a place; `None` where no part is called.
pub(crate) fn prepare(view: &View, position: Position) -> Option<PrepareRenameResponse> {
    let (_, (span, _)) = Mentions::at(&view.judged, view.byte(position))?;
    let rope = view.judged.document().rope();
    Some(PrepareRenameResponse::RangeWithPlaceholder {
        range: view.range(span),
        placeholder: rope.get_byte_slice(span.range())?.to_string(),
    })
}

/// The edits that give the part at a place another name. Fails, saying why, where that cannot be.
pub(crate) fn rename(
    view: &View,
    position: Position,
    to: &str,
    shared: &Shared,
) -> Result<Option<WorkspaceEdit>> {
    let Some((mentions, (_, by))) = Mentions::at(&view.judged, view.byte(position)) else {
        return Ok(None);
    };
    match mentions.rename(&view.judged, by, to) {
        Ok(edits) => Ok(Some(workspace_edit(view, shared, &edits))),
        Err(why) => Err(request_failed(why)),
    }
}
