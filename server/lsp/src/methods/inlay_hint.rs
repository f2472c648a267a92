//! `textDocument/inlayHint`: sounding pitches behind the notes, for who asks for them.

use notation::Format;
use reading::PlayedNote;
use score::Span;
use tower_lsp::lsp_types::{InlayHint, InlayHintKind, InlayHintLabel, InlayHintTooltip, Range};

use crate::view::View;

/// The sounding pitch of every attacked note in a range.
pub(crate) fn hints(view: &View, range: Range) -> Vec<InlayHint> {
    let asked = view.span(range);
    let mut hints = Vec::new();
    for (base, _, horn) in view.horns() {
        for note in &horn.notes {
            let span = note.pitch_span.shifted(base);
            if note.tied_from || !asked.meets(span) {
                continue;
            }
            hints.push(InlayHint {
                position: view.range(behind(view, base, note)).end,
                label: InlayHintLabel::String(note.sounding.to_string()),
                kind: Some(InlayHintKind::TYPE),
                text_edits: None,
                tooltip: Some(InlayHintTooltip::String(format!(
                    "written {}, sounds {}",
                    note.written, note.sounding
                ))),
                padding_left: Some(false),
                padding_right: Some(true),
                data: None,
            });
        }
    }
    hints
}

/// What the hint stands behind: the note with its length, but in MusicXML, where a note goes on for lines, its pitch.
fn behind(view: &View, base: usize, note: &PlayedNote) -> Span {
    let span = match view.judged.document().format() {
        Format::Abc | Format::Kern => note.span,
        Format::MusicXml => note.pitch_span,
    };
    span.shifted(base)
}
