//! `bellhand rewrite`: a horn part for another crook.

use std::io::Write;

use engine::Analyser;
use notation::Document;
use score::PartSelector;

use super::arguments::RewriteArguments;
use super::input::{self, Input};
use super::{Outcome, complain, write};

pub(crate) fn run(arguments: &RewriteArguments) -> std::io::Result<Outcome> {
    let (inputs, mut failures) = input::read(&arguments.sources);
    let mut out = anstream::stdout();
    for input in &inputs {
        let done = rewritten(input, arguments)
            .and_then(|document| deliver(&mut out, input, &document, arguments));
        if let Err(why) = done {
            complain(&format!("{}: {why}", input.shown()));
            failures += 1;
        }
    }
    out.flush()?;
    Ok(if failures > 0 {
        Outcome::Failed
    } else {
        Outcome::Clean
    })
}

/// The document with the part rewritten.
fn rewritten(input: &Input, arguments: &RewriteArguments) -> Result<Document, String> {
    let analysis = Analyser::new().analyse(&input.document, &input.settings);
    let selector = arguments.part.clone().map(PartSelector::Named);
    let mut found = Vec::new();
    let mut names = Vec::new();
    for (piece, (_, reading)) in analysis.pieces.iter().enumerate() {
        for horn in &reading.horns {
            names.push(format!("\"{}\"", horn.label));
            let part = reading.piece.parts.get(horn.seat.part);
            let id = part.map_or("", |part| part.id.as_str());
            if selector
                .as_ref()
                .is_none_or(|selector| selector.selects(id, Some(&horn.label)))
            {
                found.push((piece, reading, horn));
            }
        }
    }
    match found[..] {
        [(piece, reading, horn)] => engine::rewrite(
            &input.document,
            &input.settings,
            piece,
            reading,
            horn,
            arguments.crook,
        )
        .map_err(|refused| format!("not rewritten: {refused}"))
        .and_then(|edits| {
            input
                .document
                .with_edits(&edits)
                .map_err(|error| error.to_string())
        }),
        [] if names.is_empty() => Err("there is no horn part here".to_owned()),
        [] => Err(format!("no such horn part; there are {}", names.join(", "))),
        _ => Err(format!(
            "which part? Say --part and one of {}",
            names.join(", ")
        )),
    }
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
        write::replace(&input.path, &bytes).and_then(|()| {
            writeln!(
                out,
                "{}: written for {}",
                input.shown(),
                arguments.crook.label()
            )
        })
    };
    written.map_err(|error| format!("cannot be written: {error}"))
}
