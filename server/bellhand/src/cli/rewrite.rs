//! `bellhand rewrite`: a horn part for another crook.

use std::io::Write;

use engine::Analyser;
use notation::Document;

use super::arguments::RewriteArguments;
use super::chosen;
use super::input::{self, Input};
use super::{Outcome, complain, write};

pub(crate) fn run(arguments: &RewriteArguments) -> std::io::Result<Outcome> {
    let mut out = anstream::stdout();
    let mut undone = 0;
    let failures = input::in_turn(&arguments.sources, |input| {
        let done = rewritten(&input, arguments)
            .and_then(|document| deliver(&mut out, &input, &document, arguments));
        if let Err(why) = done {
            complain(&format!("{}: {why}", input.shown()));
            undone += 1;
        }
        Ok(())
    })?;
    out.flush()?;
    Ok(Outcome::unless_failed(failures + undone))
}

/// The document with the part rewritten.
fn rewritten(input: &Input, arguments: &RewriteArguments) -> Result<Document, String> {
    let analysis = Analyser::new().analyse(&input.document, &input.settings);
    let part = chosen::part(&analysis, arguments.part.as_deref())?;
    let edits = engine::rewrite(
        &input.document,
        &input.settings,
        part.piece,
        part.reading,
        part.horn,
        arguments.crook,
    )
    .map_err(|refused| format!("not rewritten: {refused}"))?;
    input
        .document
        .with_edits(&edits)
        .map_err(|error| error.to_string())
}

fn deliver(
    out: &mut impl Write,
    input: &Input,
    document: &Document,
    arguments: &RewriteArguments,
) -> Result<(), String> {
    let bytes = document.to_bytes().map_err(|error| error.to_string())?;
    let written = if arguments.diff {
        write::difference(out, input, document)
    } else if input.is_stdin() {
        out.write_all(&bytes)
    } else {
        write::replace(&input.path, input.fingerprint, &bytes).map_err(|why| why.to_string())?;
        writeln!(
            out,
            "{}: written for {}",
            input.shown(),
            arguments.crook.label()
        )
    };
    written.map_err(|error| format!("cannot be written: {error}"))
}
