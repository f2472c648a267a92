//! What can be written at a place in a score: what is said to bellhand in a comment, words for the player, names, values,
//! passages, new parts.

use engine::Suggestion;
use tower_lsp::lsp_types::{CompletionItem, CompletionItemKind, Position};

use super::items_of;
use crate::shared::Shared;
use crate::view::View;

/// The most of a line that is looked at, in bytes; no comment is longer.
const LONGEST: usize = 2000;

/// What can stand at a place; `None` where nothing is to be offered.
pub(crate) fn items(view: &View, at: Position, shared: &Shared) -> Option<Vec<CompletionItem>> {
    let rope = view.judged.document().rope();
    let byte = view.byte(at);
    let (kind, suggestions) = match in_comment(view, byte) {
        Some(suggestions) => (CompletionItemKind::KEYWORD, suggestions),
        None => (
            CompletionItemKind::TEXT,
            engine::suggest_music(&view.judged, byte)?,
        ),
    };
    let place = |byte| view.encoding.position(rope, byte);
    let snippets = shared.traits().snippets;
    Some(items_of(suggestions, kind, snippets, place))
}

/// What can be said to bellhand; `None` outside a comment to it.
fn in_comment(view: &View, byte: usize) -> Option<Vec<Suggestion>> {
    let rope = view.judged.document().rope();
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
    let mut suggestions = engine::suggest_instruction(&before, &names)?;
    for suggestion in &mut suggestions {
        let replaces = &mut suggestion.replaces;
        *replaces = replaces.start + from..replaces.end + from;
    }
    Some(suggestions)
}
