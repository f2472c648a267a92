//! `textDocument/completion`: what can be set in a settings file.

use engine::FILE_NAME;
use tower_lsp::lsp_types::{
    CompletionItem, CompletionItemKind, CompletionParams, CompletionTextEdit, Documentation,
    Position, Range, TextEdit,
};

use crate::lsp::settings_texts::settings_path;
use crate::lsp::shared::Shared;

/// What can stand at a place; nothing in files that hold no settings.
pub(in crate::lsp) fn items(
    params: &CompletionParams,
    shared: &Shared,
) -> Option<Vec<CompletionItem>> {
    let at = &params.text_document_position;
    let path = settings_path(&at.text_document.uri)?;
    if !path.ends_with(FILE_NAME) && !shared.settings.files().contains_key(&path) {
        return None;
    }
    let rope = shared.store.settings.rope(&path)?;
    let encoding = shared.store.encoding();
    let byte = encoding.byte(&rope, at.position);
    let items = engine::suggest(&rope.to_string(), byte)
        .into_iter()
        .map(|suggestion| {
            let position = |byte| -> Position { encoding.position(&rope, byte) };
            let range = Range::new(
                position(suggestion.replaces.start),
                position(suggestion.replaces.end),
            );
            CompletionItem {
                label: suggestion.text.clone(),
                kind: Some(CompletionItemKind::PROPERTY),
                documentation: Some(Documentation::String(suggestion.what)),
                filter_text: Some(suggestion.text.clone()),
                text_edit: Some(CompletionTextEdit::Edit(TextEdit::new(
                    range,
                    suggestion.text,
                ))),
                ..CompletionItem::default()
            }
        });
    Some(items.collect())
}
