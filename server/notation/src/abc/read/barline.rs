//! Barlines: repeats, endings, ends of sections.

use score::Barline;
use tree_sitter::Node;

use super::syntax::{field_text, span_of};

/// A barline, placed from the start of the piece.
pub(super) fn read(node: Node<'_>, text: &str, base: usize) -> Barline {
    let sign = field_text(node, "sign", text).unwrap_or_default();
    // `[|]` is drawn as nothing at all, so it ends nothing.
    let invisible = sign.contains("[|]");
    let thick = sign.contains("||") || sign.contains("|]") || sign.contains("[|");
    Barline {
        span: span_of(node, base),
        repeat_end: sign.starts_with(':') || sign.contains(":|"),
        repeat_start: sign.ends_with(':') || sign.contains("|:"),
        section_end: (thick && !invisible) || sign.contains("::"),
        ending: field_text(node, "ending", text).map(str::to_owned),
    }
}
