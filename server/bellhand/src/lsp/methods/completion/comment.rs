//! What can be said to bellhand, at a place in a score's comment.

use tower_lsp::lsp_types::{CompletionItem, CompletionItemKind, Position};

use super::items_of;
use crate::lsp::view::View;

/// The most of a line that is looked at, in bytes; no comment is longer.
const LONGEST: usize = 2000;

/// What can stand at a place; nothing outside a comment to bellhand.
pub(in crate::lsp) fn items(view: &View, at: Position) -> Option<Vec<CompletionItem>> {
    let rope = view.judged.document().rope();
    let byte = view.byte(at);
    let line = rope.line_to_byte(rope.byte_to_line(byte));
    let from = line.max(byte.saturating_sub(LONGEST));
    let from = rope.char_to_byte(rope.byte_to_char(from));
    let before = rope.byte_slice(from..byte).to_string();
    let pieces = view.judged.pieces();
    let parts = pieces.flat_map(|(_, reading)| &reading.piece.parts);
    let names = parts.filter_map(|part| Some(part.name.as_ref()?.text.trim()));
    let mut names: Vec<&str> = names.filter(|name| !name.is_empty()).collect();
    names.sort_unstable();
    names.dedup();
    let suggestions = engine::suggest_instruction(&before, &names)?;
    let place = |byte| view.encoding.position(rope, from + byte);
    Some(items_of(suggestions, CompletionItemKind::KEYWORD, place))
}
