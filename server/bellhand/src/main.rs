//! The `bellhand` command.

mod cli;
mod schema;

use std::process::ExitCode;

fn main() -> ExitCode {
    cli::run()
}
