//! The `bellhand` command.

use std::process::ExitCode;

fn main() -> ExitCode {
    bellhand::cli::run()
}
