//! `bellhand completions` and `bellhand man`: what an installer puts beside the program.

use std::io::Write;

use clap::CommandFactory as _;
use files::{Outcome, complain};

use super::arguments::{Arguments, CompletionsArguments, ManArguments};

/// The name that shells and the manual know the program by.
const NAME: &str = "bellhand";

pub(crate) fn completions(arguments: &CompletionsArguments) -> std::io::Result<Outcome> {
    // The generator writes to memory, where it cannot fail, so that a pipe that closes is no panic.
    let mut script = Vec::new();
    clap_complete::generate(
        arguments.shell,
        &mut Arguments::command(),
        NAME,
        &mut script,
    );
    let mut out = std::io::stdout();
    out.write_all(&script)?;
    out.flush()?;
    Ok(Outcome::Clean)
}

pub(crate) fn man(arguments: &ManArguments) -> std::io::Result<Outcome> {
    if let Some(folder) = &arguments.into {
        let written = std::fs::create_dir_all(folder)
            .and_then(|()| clap_mangen::generate_to(Arguments::command(), folder));
        if let Err(error) = written {
            complain(&format!("{}: {error}", folder.display()));
            return Ok(Outcome::Failed);
        }
        return Ok(Outcome::Clean);
    }
    let mut page = Vec::new();
    clap_mangen::Man::new(Arguments::command()).render(&mut page)?;
    let mut out = std::io::stdout();
    out.write_all(&page)?;
    out.flush()?;
    Ok(Outcome::Clean)
}
