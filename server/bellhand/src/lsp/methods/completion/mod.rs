//! `textDocument/completion`: what can be set in a settings file, and what can be said in a score's comment.

pub(in crate::lsp) mod comment;
pub(in crate::lsp) mod settings;

use engine::Suggestion;
use tower_lsp::lsp_types::{
    CompletionItem, CompletionItemKind, CompletionTextEdit, Documentation, Position, Range,
    TextEdit,
};

/// Suggestions as the protocol has them; `place` gives where a byte stands.
fn items_of(
    suggestions: Vec<Suggestion>,
    kind: CompletionItemKind,
    place: impl Fn(usize) -> Position,
) -> Vec<CompletionItem> {
    let items = (0..).zip(suggestions).map(|(number, suggestion)| {
        let range = Range::new(
            place(suggestion.replaces.start),
            place(suggestion.replaces.end),
        );
        CompletionItem {
            label: suggestion.text.trim_end().to_owned(),
            kind: Some(kind),
            documentation: Some(Documentation::String(suggestion.what)),
            filter_text: Some(suggestion.text.clone()),
            // In the order they are offered in, which is that of the rule book.
            sort_text: Some(format!("{number:04}")),
            text_edit: Some(CompletionTextEdit::Edit(TextEdit::new(
                range,
                suggestion.text,
            ))),
            ..CompletionItem::default()
        }
    });
    items.collect()
}
