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
    // `::|` ends what is played three times, and so on (section 4.8).
    let colons = sign.chars().take_while(|&sign| sign == ':').count();
    let before = if sign.contains('|') {
        u32::try_from(colons).unwrap_or(u32::MAX)
    } else {
        1
    };
    Barline {
        span: span_of(node, base),
        repeat_end: sign.starts_with(':') || sign.contains(":|"),
        repeat_start: sign.ends_with(':') || sign.contains("|:"),
        section_end: (thick && !invisible) || sign.contains("::"),
        times: (before > 1).then(|| before.saturating_add(1)),
        // "From the beginning, or from the latest double bar line or end repeat" (section 4.8).
        repeat_from: thick && !invisible,
        ending_end: false,
        ending: field_text(node, "ending", text).map(str::to_owned),
    }
}
