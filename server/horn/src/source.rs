//! Where a fact comes from, carried beside every number the instrument is judged by.

use std::fmt;

/// Where a fact comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Source {
    /// Read in a publication.
    Published {
        /// Who wrote it, or the site that carries it when no author is named.
        author: &'static str,
        /// The title.
        title: &'static str,
        /// The year, or `undated`.
        year: &'static str,
        /// The page, table or section; may be empty.
        place: &'static str,
    },
    /// What everybody in the trade does, with no one book to point at.
    CommonPractice,
    /// Remembered and not looked up.
    FromMemory,
    /// No source gives it; a default chosen here, to be set otherwise at will.
    ProjectChoice,
    /// Worked out from the harmonic series.
    Computed,
    /// Set by the house that uses it.
    HouseSetting,
}

impl fmt::Display for Source {
    /// `Rimsky-Korsakov, Principles of Orchestration (1922), p. 25`, `common practice`, `from memory`
    /// or `bellhand's own choice`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Published {
                author,
                title,
                year,
                place,
            } => {
                write!(f, "{author}, {title} ({year})")?;
                if place.is_empty() {
                    Ok(())
                } else {
                    write!(f, ", {place}")
                }
            }
            Self::CommonPractice => f.write_str("common practice"),
            Self::FromMemory => f.write_str("from memory"),
            Self::ProjectChoice => f.write_str("bellhand's own choice"),
            Self::Computed => f.write_str("computed from the harmonic series"),
            Self::HouseSetting => f.write_str("set in this house"),
        }
    }
}

/// A value with its source.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Sourced<T> {
    /// The value.
    pub value: T,
    /// Where it comes from.
    pub source: Source,
}

impl<T> Sourced<T> {
    /// A value and its source.
    #[must_use]
    pub const fn new(value: T, source: Source) -> Self {
        Self { value, source }
    }
}

/// Table C, the compass of the horn with its frequency bands, in the one treatise read whole.
pub(crate) const RIMSKY_COMPASS: Source = Source::Published {
    author: "Rimsky-Korsakov",
    title: "Principles of Orchestration",
    year: "1922",
    place: "p. 25",
};

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sources_read_as_citations() {
        assert_eq!(
            RIMSKY_COMPASS.to_string(),
            "Rimsky-Korsakov, Principles of Orchestration (1922), p. 25"
        );
        let unplaced = Source::Published {
            author: "A",
            title: "B",
            year: "undated",
            place: "",
        };
        assert_eq!(unplaced.to_string(), "A, B (undated)");
        assert_eq!(Source::CommonPractice.to_string(), "common practice");
        assert_eq!(Source::FromMemory.to_string(), "from memory");
        assert_eq!(Source::ProjectChoice.to_string(), "bellhand's own choice");
    }
}
