//! The command line: what can be asked, and what the exit code says.

pub(crate) mod arguments;
mod changed;
pub(crate) mod check;
mod choice;
mod chosen;
pub(crate) mod digest;
mod draw;
mod explain;
mod fingering;
mod fix;
mod in_order;
pub(crate) mod input;
mod install;
mod notes;
pub(crate) mod page;
mod place;
mod rewrite;
mod rip;
mod rule_name;
pub(crate) mod search;
mod settings;
mod share;
pub(crate) mod write;

use std::io::Write as _;
use std::process::ExitCode;

use clap::Parser as _;

use arguments::{Arguments, Command};

/// The version of the shape of all JSON that is written for programs.
pub(crate) const JSON_VERSION: u32 = 1;

/// What a command came to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Outcome {
    /// Nothing to say at or above the severity asked for.
    Clean,
    /// Findings at or above it.
    Findings,
    /// Something could not be done.
    Failed,
}

impl Outcome {
    /// The exit code.
    pub(crate) const fn code(self) -> u8 {
        match self {
            Self::Clean => 0,
            Self::Findings => 1,
            Self::Failed => 2,
        }
    }

    /// What a command came to that could not do so many things, and had nothing to say otherwise.
    pub(crate) const fn unless_failed(failures: usize) -> Self {
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

/// Runs the command the process was called with.
#[must_use]
pub fn run() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(said) => return explained(&said),
    };
    let outcome = match arguments.command {
        Command::Check(arguments) => check::run(&arguments),
        Command::Class(arguments) => crate::class::run(&arguments),
        Command::Fix(arguments) => fix::run(&arguments),
        Command::Rewrite(arguments) => rewrite::run(&arguments),
        Command::Notes(arguments) => notes::run(&arguments),
        Command::Draw(arguments) => draw::run(&arguments),
        Command::Fingering(arguments) => fingering::run(&arguments),
        Command::Rip(arguments) => rip::run(&arguments),
        Command::Explain(arguments) => explain::run(&arguments),
        Command::Settings(arguments) => settings::run(&arguments),
        Command::Completions(arguments) => install::completions(&arguments),
        Command::Man(arguments) => install::man(&arguments),
        Command::Lsp(_) => return crate::lsp::serve(),
    };
    code(outcome)
}

/// Says what a command line asks for in place of a command, or what is wrong with it.
fn explained(said: &clap::Error) -> ExitCode {
    let told = said.print().and_then(|()| std::io::stdout().flush());
    code(told.map(|()| {
        if said.use_stderr() {
            Outcome::Failed
        } else {
            Outcome::Clean
        }
    }))
}

/// The exit code of what a command came to.
fn code(outcome: std::io::Result<Outcome>) -> ExitCode {
    match outcome {
        Ok(outcome) => outcome.into(),
        // The reader of a pipe may leave before the end; that is no fault.
        Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => ExitCode::SUCCESS,
        Err(error) => {
            complain(&format!("cannot write the report: {error}"));
            Outcome::Failed.into()
        }
    }
}

/// Says on standard error what could not be done.
pub(crate) fn complain(message: &str) {
    // With standard error gone there is nobody left to tell.
    let _ = writeln!(anstream::stderr(), "bellhand: {message}");
}
