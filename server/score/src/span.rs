//! Where a thing stands in a text.

use std::ops::Range;

/// A stretch of text in bytes of its UTF-8 form, end not included.
///
/// What a span is counted from is said where it is stored: a run, a piece or the document.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Span {
    /// First byte.
    pub start: usize,
    /// The byte after the last.
    pub end: usize,
}

impl Span {
    /// A span from its ends.
    #[must_use]
    pub const fn new(start: usize, end: usize) -> Self {
        Self { start, end }
    }

    /// The same stretch counted from a place `base` bytes earlier.
    #[must_use]
    pub const fn shifted(self, base: usize) -> Self {
        Self {
            start: self.start + base,
            end: self.end + base,
        }
    }

    /// The same stretch counted from `base`, which lies at or before it.
    #[must_use]
    pub const fn relative_to(self, base: usize) -> Self {
        Self {
            start: self.start.saturating_sub(base),
            end: self.end.saturating_sub(base),
        }
    }

    /// Bytes covered.
    #[must_use]
    pub const fn len(self) -> usize {
        self.end.saturating_sub(self.start)
    }

    /// Whether nothing is covered.
    #[must_use]
    pub const fn is_empty(self) -> bool {
        self.end <= self.start
    }

    /// Whether the byte lies within, ends included, as a cursor may stand at either.
    #[must_use]
    pub const fn touches(self, byte: usize) -> bool {
        self.start <= byte && byte <= self.end
    }

    /// Whether the two share a byte or touch.
    #[must_use]
    pub const fn meets(self, other: Self) -> bool {
        self.start <= other.end && other.start <= self.end
    }

    /// The smallest span that holds both.
    #[must_use]
    pub fn joined(self, other: Self) -> Self {
        Self {
            start: self.start.min(other.start),
            end: self.end.max(other.end),
        }
    }

    /// As a range, for slicing.
    #[must_use]
    pub const fn range(self) -> Range<usize> {
        self.start..self.end
    }
}

impl From<Range<usize>> for Span {
    fn from(range: Range<usize>) -> Self {
        Self {
            start: range.start,
            end: range.end,
        }
    }
}
