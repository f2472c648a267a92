//! What a command made of a score: shown as a difference, written to standard output, or into its file.

use std::fmt::Display;
use std::io::Write;

use files::Input;
use files::write::{self, Deferred};
use notation::Document;

/// Delivers what was made of a score. `done` is what was done, a line each; where that is none, `nothing` is said and the
/// file left as it is. The error says why it could not be written.
pub(super) fn deliver<W: Write>(
    out: &mut Deferred<W>,
    input: &Input,
    document: &Document,
    diff: bool,
    done: &[String],
    nothing: impl Display,
) -> Result<(), String> {
    let shown = input.shown();
    let bytes = document.to_bytes();
    let bytes = bytes.map_err(|error| format!("{shown}: {error}"))?;
    if diff {
        write::difference(out, input, document);
    } else if input.is_stdin() {
        out.bytes(&bytes);
    } else if done.is_empty() {
        out.line(format_args!("{shown}: {nothing}"));
    } else {
        let replaced = write::replace(&input.path, input.fingerprint, &bytes);
        replaced.map_err(|why| format!("{shown} {why}"))?;
        for line in done {
            out.line(format_args!("{shown}: {line}"));
        }
    }
    Ok(())
}
