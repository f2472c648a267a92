//! Where voices are called by their ids.

use score::Span;
use tree_sitter::{Node, Tree};

/// Every id of a voice in a text, in the order of the text: in headers, on lines of their own, and within lines.
pub(crate) fn ids<'t>(text: &'t str, tree: &Tree) -> Vec<(Span, &'t str)> {
    let mut ids = Vec::new();
    gather(tree.root_node(), text, &mut ids);
    ids
}

fn gather<'t>(node: Node<'_>, text: &'t str, ids: &mut Vec<(Span, &'t str)>) {
    match node.kind() {
        "voice_field" => {
            let id = node.child_by_field_name("voice");
            let id = id.map(|id| Span::from(id.byte_range()));
            ids.extend(id.and_then(|span| Some((span, text.get(span.range())?))));
        }
        "source_file" | "tune" | "tune_header" | "tune_body" | "music_line" | "measure"
        | "inline_field" => {
            let mut cursor = node.walk();
            for child in node.named_children(&mut cursor) {
                gather(child, text, ids);
            }
        }
        _ => {}
    }
}
