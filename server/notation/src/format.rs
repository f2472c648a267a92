//! The notations that are read.

use std::path::Path;

/// A notation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Format {
    /// ABC 2.1.
    Abc,
}

impl Format {
    /// All of them.
    pub const ALL: [Self; 1] = [Self::Abc];

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

    /// The notation of a name, in any case.
    #[must_use]
    pub fn of_name(name: &str) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|format| format.name().eq_ignore_ascii_case(name))
    }

    /// Its name, as editors and settings know it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Abc => "abc",
        }
    }

    /// The extensions its files have.
    #[must_use]
    pub const fn extensions(self) -> &'static [&'static str] {
        match self {
            Self::Abc => &["abc"],
        }
    }
}
