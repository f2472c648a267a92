//! What can be set, at a place in a settings file.

use engine::FILE_NAME;
use tower_lsp::lsp_types::{CompletionItem, CompletionItemKind, CompletionParams};

use super::items_of;
use crate::settings_texts::settings_path;
use crate::shared::Shared;

/// What can stand at a place; nothing in files that hold no settings.
pub(crate) fn items(params: &CompletionParams, shared: &Shared) -> Option<Vec<CompletionItem>> {
    let at = &params.text_document_position;
    let path = settings_path(&at.text_document.uri)?;
    if !path.ends_with(FILE_NAME) && !shared.settings.files().contains_key(&path) {
        return None;
    }
    let rope = shared.store.settings.rope(&path)?;
    let encoding = shared.store.encoding();
    let byte = encoding.byte(&rope, at.position);
    let suggestions = engine::suggest(&rope.to_string(), byte);
    let place = |byte| encoding.position(&rope, byte);
    Some(items_of(
        suggestions,
        CompletionItemKind::PROPERTY,
        false,
        place,
    ))
}
