//! A stretch of the text as a tree that can be written in: a measure of a part, or the header.

use std::cell::RefCell;
use std::collections::HashMap;

use score::{Part, PartRef, Score, Span};

use super::cannot;
use crate::edit::CannotWrite;
use crate::musicxml::outline::{Chunk, Outline};
use crate::musicxml::tree::{Element, Tree};

/// What the writers look at: a document's text, its layout and what was read from them.
#[derive(Debug)]
pub(crate) struct Source<'a> {
    pub(super) text: &'a str,
    pub(super) outline: &'a Outline,
    pub(super) score: &'a Score,
    /// The voices in which cues may stand, by the parts' ids.
    pub(super) cue_voices: RefCell<HashMap<String, u32>>,
}

/// A stretch, and how far into the document it begins.
pub(super) struct Page<'a> {
    pub(super) tree: Tree<'a>,
    pub(super) base: usize,
}

impl<'a> Source<'a> {
    pub(in crate::musicxml) fn new(text: &'a str, outline: &'a Outline, score: &'a Score) -> Self {
        Self {
            text,
            outline,
            score,
            cue_voices: RefCell::default(),
        }
    }

    /// The part that is meant.
    pub(super) fn part(&self, part: PartRef) -> Result<&'a Part, CannotWrite> {
        let piece = self.score.pieces.get(part.piece);
        match piece.and_then(|placed| placed.piece.parts.get(part.part)) {
            Some(part) => Ok(part),
            None => cannot("there is no such part"),
        }
    }

    /// All parts; a score is one piece.
    pub(super) fn parts(&self) -> &'a [Part] {
        self.score
            .pieces
            .first()
            .map_or(&[], |placed| placed.piece.parts.as_slice())
    }

    /// The measure that begins at a byte.
    pub(super) fn measure(&self, start: usize) -> Option<Page<'a>> {
        let chunks = &self.outline.chunks;
        let place = chunks.partition_point(|chunk| chunk.span.start < start);
        let chunk = chunks.get(place).filter(|c| c.span.start == start)?;
        Some(self.page(chunk.span, chunk.is_unended()))
    }

    /// The first measure of a part.
    pub(super) fn first_measure(&self, part: &Part) -> Option<Page<'a>> {
        let own = |chunk: &&Chunk| *chunk.part == part.id;
        let chunk = self.outline.chunks.iter().find(own)?;
        Some(self.page(chunk.span, chunk.is_unended()))
    }

    /// The measures of a part.
    pub(super) fn measures(&self, part: &Part) -> impl Iterator<Item = Page<'a>> {
        let own = self
            .outline
            .chunks
            .iter()
            .filter(|chunk| *chunk.part == part.id);
        own.map(|chunk| self.page(chunk.span, chunk.is_unended()))
    }

    /// The header.
    pub(super) fn header(&self) -> Page<'a> {
        self.page(self.outline.header, false)
    }

    /// The measure that holds a byte, or the header.
    pub(super) fn around(&self, byte: usize) -> Option<Page<'a>> {
        let chunks = &self.outline.chunks;
        let after = chunks.partition_point(|chunk| chunk.span.start <= byte);
        let chunk = chunks
            .get(after.wrapping_sub(1))
            .filter(|chunk| byte < chunk.span.end);
        match chunk {
            Some(chunk) => Some(self.page(chunk.span, chunk.is_unended())),
            None => {
                let header = self.outline.header;
                (header.start <= byte && byte < header.end).then(|| self.header())
            }
        }
    }

    fn page(&self, span: Span, unended: bool) -> Page<'a> {
        let text = self.text.get(span.range()).unwrap_or_default();
        Page {
            tree: Tree::read(text, unended),
            base: span.start,
        }
    }

    /// Whether the score shows sounding pitch, so that keys and transpositions are not the part's own.
    pub(super) fn is_at_concert_pitch(&self) -> bool {
        let header = self.header();
        let defaults = header.tree.root().child("defaults");
        defaults.is_some_and(|defaults| defaults.child("concert-score").is_some())
    }
}

impl Page<'_> {
    /// The element that stands exactly there in the document.
    pub(super) fn at(&self, span: Span) -> Option<Element<'_>> {
        self.tree.at(span.relative_to(self.base))
    }

    /// A span of the page as one of the document.
    pub(super) const fn place(&self, span: Span) -> Span {
        span.shifted(self.base)
    }
}
