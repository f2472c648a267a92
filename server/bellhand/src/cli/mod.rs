//! The command line: what can be asked, and what the exit code says.

mod arguments;
mod check;
mod choice;
mod chosen;
mod cues;
mod deliver;
mod draw;
mod explain;
mod fingering;
mod fix;
mod install;
mod meant;
mod midi;
mod notes;
mod pitch;
mod rewrite;
mod rip;
mod rule_name;
mod settings;
mod terminal;
mod typeset;
mod unmatched;

use std::io::Write as _;
use std::process::ExitCode;

use clap::Parser as _;
use files::{Outcome, complain};

use arguments::{Arguments, Command};

/// Runs the command the process was called with.
#[must_use]
pub fn run() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(said) => return explained(&said),
    };
    let outcome = match arguments.command {
        Command::Check(arguments) => check::run(&arguments),
        Command::Class(arguments) => class::run(&arguments),
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
        Command::Lsp(_) => return serve(),
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

/// Serves an editor; the exit code.
fn serve() -> ExitCode {
    lsp::serve().unwrap_or_else(|error| {
        complain(&format!("the language server cannot start: {error}"));
        Outcome::Failed.into()
    })
}
