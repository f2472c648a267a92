//! What a command comes to, and saying what could not be done.

use std::io::Write as _;
use std::process::ExitCode;

/// What a command came to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outcome {
    /// Nothing to say at or above the severity asked for.
    Clean,
    /// Findings at or above it.
    Findings,
    /// Something could not be done.
    Failed,
}

impl Outcome {
    /// The exit code.
    pub const fn code(self) -> u8 {
        match self {
            Self::Clean => 0,
            Self::Findings => 1,
            Self::Failed => 2,
        }
    }

    /// What a command came to that could not do so many things, and had nothing to say otherwise.
    pub const fn unless_failed(failures: usize) -> Self {
        if failures > 0 {
            Self::Failed
        } else {
            Self::Clean
        }
    }
}

impl From<Outcome> for ExitCode {
    fn from(outcome: Outcome) -> Self {
        Self::from(outcome.code())
    }
}

/// Says on standard error what could not be done.
pub fn complain(message: &str) {
    // With standard error gone there is nobody left to tell.
    let _ = writeln!(anstream::stderr(), "bellhand: {message}");
}
