//! What is not understood in settings, with its place and what was likely meant.

use std::fmt;
use std::ops::Range;
use std::path::PathBuf;

/// Something in settings that is not understood, `P` being a place as its source counts them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Problem<P> {
    pub(super) at: P,
    pub(super) message: String,
    /// What was likely meant, to stand in its place.
    pub(super) instead: Option<String>,
}

impl<P> Problem<P> {
    pub(super) const fn new(at: P, message: String) -> Self {
        Self {
            at,
            message,
            instead: None,
        }
    }

    /// What is wrong, and what was likely meant.
    pub(super) fn words(&self) -> String {
        match &self.instead {
            Some(instead) if !self.message.contains("did you mean") => {
                format!("{}; did you mean `{instead}`?", self.message)
            }
            _ => self.message.clone(),
        }
    }

    pub(super) fn instead(mut self, instead: Option<String>) -> Self {
        self.instead = instead;
        self
    }
}

/// Something in a settings file that is not understood; the rest of the file holds all the same.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SettingsError {
    /// The file.
    pub path: PathBuf,
    /// The bytes it stands at, and its line and column from 1, when it has a place.
    pub place: Option<(Range<usize>, (usize, usize))>,
    /// What is wrong, and what was expected.
    pub message: String,
    /// What was likely meant, to stand in its place.
    pub instead: Option<String>,
}

impl fmt::Display for SettingsError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.path.display())?;
        if let Some((_, (line, column))) = &self.place {
            write!(f, ":{line}:{column}")?;
        }
        write!(f, ": {}", self.message)
    }
}

impl std::error::Error for SettingsError {}

/// Line and column of a byte, from 1.
pub(super) fn line_and_column(text: &str, byte: usize) -> (usize, usize) {
    let before = text.get(..byte).unwrap_or(text);
    let line = before.matches('\n').count() + 1;
    let last = before.rsplit('\n').next().unwrap_or_default();
    (line, last.chars().count() + 1)
}
