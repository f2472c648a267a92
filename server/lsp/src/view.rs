//! One text of one document, read and judged: what every answer is made from.

use std::sync::{Arc, OnceLock};

use engine::{Judged, Settings, Stop};
use reading::{HornPart, PieceReading, PlayedNote};
use score::Span;
use tower_lsp::lsp_types::{Position, Range, Url};

use super::positions::Encoding;
use super::report::Report;
use super::store::Entry;

/// A document at one moment, as the protocol speaks of it.
#[derive(Debug)]
pub(super) struct View {
    pub(super) uri: Url,
    pub(super) version: i32,
    pub(super) revision: u64,
    pub(super) judged: Judged,
    pub(super) encoding: Encoding,
    /// Where the text was touched last, in bytes.
    pub(super) touched: usize,
    /// What the client is told of the findings, once somebody has asked.
    pub(super) report: OnceLock<Arc<Report>>,
}

impl View {
    /// Reads and judges an entry; may take long, so it is done away from the protocol's own task. Fails when `stop` says
    /// so.
    pub(super) fn make<S: Stop>(
        uri: Url,
        entry: Entry,
        settings: Arc<Settings>,
        encoding: Encoding,
        stop: &S,
    ) -> Result<Self, S::Stopped> {
        let mut document = entry.document;
        if document.is_behind() {
            Arc::make_mut(&mut document).reread();
        }
        let judged = match &entry.view {
            Some(before) => before.judged.next(document, settings, stop)?,
            None => Judged::first(document, settings, stop)?,
        };
        Ok(Self {
            uri,
            version: entry.version,
            revision: entry.revision,
            judged,
            encoding,
            touched: entry.touched,
            report: OnceLock::new(),
        })
    }

    pub(super) fn byte(&self, position: Position) -> usize {
        self.encoding.byte(self.judged.document().rope(), position)
    }

    pub(super) fn span(&self, range: Range) -> Span {
        self.encoding.span(self.judged.document().rope(), range)
    }

    pub(super) fn range(&self, span: Span) -> Range {
        self.encoding.range(self.judged.document().rope(), span)
    }

    /// Every horn part, with its piece and where that begins.
    pub(super) fn horns(&self) -> impl Iterator<Item = (usize, &PieceReading, &HornPart)> {
        self.judged.pieces().flat_map(|(base, reading)| {
            let horns = reading.horns.iter();
            horns.map(move |horn| (base, reading, horn))
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
