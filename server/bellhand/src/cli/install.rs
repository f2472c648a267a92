//! `bellhand completions` and `bellhand man`: what an installer puts beside the program.

use std::io::Write;
use std::path::Path;

use clap::{Command, CommandFactory as _};
use files::write::put;
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
        let mut command = Arguments::command().disable_help_subcommand(true);
        command.build();
        let made = std::fs::create_dir_all(folder);
        let made = made.map_err(|error| format!("{}: {error}", folder.display()));
        let written = made.and_then(|()| write_pages(&command, folder));
        if let Err(error) = written {
            complain(&error);
            return Ok(Outcome::Failed);
        }
        return Ok(Outcome::Clean);
    }
    let page = render_page(&clap_mangen::Man::new(Arguments::command()))?;
    let mut out = std::io::stdout();
    out.write_all(page.as_bytes())?;
    out.flush()?;
    Ok(Outcome::Clean)
}

/// Writes the page of a command, and of each below it. Fails with what to tell the user.
fn write_pages(command: &Command, folder: &Path) -> Result<(), String> {
    for below in command.get_subcommands().filter(|one| !one.is_hide_set()) {
        write_pages(below, folder)?;
    }
    let page = clap_mangen::Man::new(command.clone());
    let file = folder.join(page.get_filename());
    let written = render_page(&page).and_then(|page| put(&file, page.as_bytes()));
    written.map_err(|error| format!("{} cannot be written: {error}", file.display()))
}

/// The page in ASCII: formatters that are not given UTF-8 by their caller take its bytes for Latin letters.
fn render_page(page: &clap_mangen::Man) -> std::io::Result<String> {
    let mut rendered = Vec::new();
    page.render(&mut rendered)?;
    let mut ascii = String::with_capacity(rendered.len());
    for letter in String::from_utf8_lossy(&rendered).chars() {
        if letter.is_ascii() {
            ascii.push(letter);
        } else {
            let code = u32::from(letter);
            ascii.push_str(&format!("\\[u{code:04X}]"));
        }
    }
    Ok(ascii)
}
