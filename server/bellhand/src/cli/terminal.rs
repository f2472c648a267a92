//! How wide the terminal is that somebody reads a report in.

use std::io::IsTerminal as _;

/// The widest lines of words, in characters; longer ones are hard to read. Bellhand's own choice.
const WIDEST: usize = 100;
/// The narrowest lines of words.
const NARROWEST: usize = 40;
/// The width where no terminal tells another.
const USUAL: usize = 96;

/// Whether standard output is a terminal.
pub(crate) fn is_read_there() -> bool {
    std::io::stdout().is_terminal()
}

/// How wide lines of words may be, in characters: what `COLUMNS` says, else the terminal, else the usual.
pub(crate) fn width() -> usize {
    let said = std::env::var("COLUMNS").ok();
    let said = said.and_then(|said| said.trim().parse::<usize>().ok());
    let terminal = || {
        let (width, _) = terminal_size::terminal_size_of(std::io::stdout())?;
        Some(usize::from(width.0))
    };
    said.or_else(terminal)
        .map_or(USUAL, |width| width.clamp(NARROWEST, WIDEST))
}
