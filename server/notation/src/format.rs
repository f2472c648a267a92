//! The notations that are read.

use std::fs::File;
use std::io::Read as _;
use std::path::Path;

/// How many bytes of a file are looked into for its root element.
const HEAD: u64 = 64 << 10;

/// A notation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Format {
    /// ABC 2.1.
    Abc,
    /// MusicXML 4.0 and older, as text or compressed.
    MusicXml,
    /// Humdrum with `**kern`.
    Kern,
}

impl Format {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Abc, Self::MusicXml, Self::Kern];

    /// The notation a file's name tells, by its extension.
    #[must_use]
    pub fn of_path(path: &Path) -> Option<Self> {
        let extension = path.extension()?.to_str()?;
        Self::ALL.into_iter().find(|format| {
            format
                .extensions()
                .iter()
                .any(|known| extension.eq_ignore_ascii_case(known))
        })
    }

    /// Whether a file found in a folder is worth reading: many kinds of file are called `.xml`.
    ///
    /// A file that cannot be looked into counts as one, so that reading it says why.
    #[must_use]
    pub fn is_score(self, path: &Path) -> bool {
        let shared = path
            .extension()
            .is_some_and(|extension| extension.eq_ignore_ascii_case("xml"));
        if !shared {
            return true;
        }
        let mut head = Vec::new();
        let read = File::open(path).and_then(|file| file.take(HEAD).read_to_end(&mut head));
        // In UTF-16 every other byte of the word is zero.
        head.retain(|byte| *byte != 0);
        read.is_err()
            || [b"<score-partwise".as_slice(), b"<score-timewise"]
                .into_iter()
                .any(|root| head.windows(root.len()).any(|window| window == root))
    }

    /// The notation of a name, in any case.
    #[must_use]
    pub fn of_name(name: &str) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|format| format.name().eq_ignore_ascii_case(name))
    }

    /// The most bytes that a text is read with, several times the largest real scores. A byte of ABC or Humdrum costs up to half a
    /// kilobyte to read, one of MusicXML a thirtieth of it. Bellhand's own choice.
    #[must_use]
    pub const fn largest(self) -> usize {
        match self {
            Self::Abc => 2 << 20,
            Self::MusicXml => 32 << 20,
            Self::Kern => 4 << 20,
        }
    }

    /// Its name, as editors and settings know it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Abc => "abc",
            Self::MusicXml => "musicxml",
            Self::Kern => "kern",
        }
    }

    /// The extensions its files have.
    #[must_use]
    pub const fn extensions(self) -> &'static [&'static str] {
        match self {
            Self::Abc => &["abc"],
            Self::MusicXml => &["musicxml", "mxl", "xml"],
            Self::Kern => &["krn", "kern"],
        }
    }
}
