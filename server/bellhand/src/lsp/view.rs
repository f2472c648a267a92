//! One text of one document, read and judged: what every answer is made from.

use std::sync::{Arc, PoisonError};

use engine::{Analysis, Settings};
use notation::Document;
use reading::{HornPart, PieceReading, PlayedNote};
use score::Span;
use tower_lsp::lsp_types::{Position, Range, Url};

use super::positions::Encoding;
use super::store::Entry;

/// A document at one moment.
#[derive(Debug)]
pub(super) struct View {
    pub(super) uri: Url,
    pub(super) version: i32,
    pub(super) revision: u64,
    pub(super) document: Document,
    pub(super) analysis: Analysis,
    pub(super) settings: Arc<Settings>,
    pub(super) encoding: Encoding,
}

impl View {
    /// Reads and judges an entry; may take long, so it is done away from the protocol's own task.
    pub(super) fn make(
        uri: Url,
        entry: Entry,
        settings: Arc<Settings>,
        encoding: Encoding,
    ) -> Self {
        let Entry {
            mut document,
            version,
            revision,
            analyser,
            ..
        } = entry;
        document.reread();
        let analysis = analyser
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .analyse(&document, &settings);
        Self {
            uri,
            version,
            revision,
            document,
            analysis,
            settings,
            encoding,
        }
    }

    pub(super) fn byte(&self, position: Position) -> usize {
        self.encoding.byte(self.document.rope(), position)
    }

    pub(super) fn span(&self, range: Range) -> Span {
        self.encoding.span(self.document.rope(), range)
    }

    pub(super) fn range(&self, span: Span) -> Range {
        self.encoding.range(self.document.rope(), span)
    }

    /// Every horn part, with its piece and where that begins.
    pub(super) fn horns(&self) -> impl Iterator<Item = (usize, &PieceReading, &HornPart)> {
        self.analysis.pieces.iter().flat_map(|(base, reading)| {
            reading
                .horns
                .iter()
                .map(move |horn| (*base, reading.as_ref(), horn))
        })
    }

    /// The horn note a byte stands at.
    pub(super) fn note_at(
        &self,
        byte: usize,
    ) -> Option<(usize, &PieceReading, &HornPart, &PlayedNote)> {
        let mut touched = None;
        for (base, reading, horn) in self.horns() {
            for note in &horn.notes {
                let span = note.span.shifted(base);
                if span.range().contains(&byte) {
                    return Some((base, reading, horn, note));
                }
                // A cursor right behind a note still means it, unless another begins there.
                if span.touches(byte) {
                    touched = Some((base, reading, horn, note));
                }
            }
        }
        touched
    }
}
