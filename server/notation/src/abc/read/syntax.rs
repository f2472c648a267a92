//! Small questions to the syntax tree.

use score::Span;
use tree_sitter::Node;

/// The text of a node.
pub(super) fn text_of<'t>(node: Node<'_>, text: &'t str) -> &'t str {
    text.get(node.byte_range()).unwrap_or_default()
}

/// The text of a named field of a node.
pub(super) fn field_text<'t>(node: Node<'_>, field: &str, text: &'t str) -> Option<&'t str> {
    node.child_by_field_name(field)
        .map(|child| text_of(child, text))
}

/// The node's place, counted from `base`.
pub(super) fn span_of(node: Node<'_>, base: usize) -> Span {
    Span::from(node.byte_range()).relative_to(base)
}

/// The letter of a field, from `K:` or `[K:`.
pub(super) fn field_letter(node: Node<'_>, text: &str) -> Option<char> {
    field_text(node, "name", text)?
        .chars()
        .find(char::is_ascii_alphabetic)
}

/// Whether a node is a field of any kind.
pub(super) fn is_field(node: Node<'_>) -> bool {
    node.kind().ends_with("_field")
}
