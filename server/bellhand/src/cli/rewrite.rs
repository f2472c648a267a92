//! `bellhand rewrite`: horn parts for another crook, or at concert pitch, or with cues.

use std::io::Write;
use std::sync::Arc;

use engine::HornOf;
use files::write::Deferred;
use files::{Input, Narrowed, Outcome, complain, input};
use notation::Document;

use super::arguments::RewriteArguments;
use super::deliver::deliver;
use super::{chosen, cues};

pub(crate) fn run(arguments: &RewriteArguments) -> std::io::Result<Outcome> {
    let mut out = Deferred::new(anstream::stdout());
    let mut undone = 0;
    let failures = input::in_turn(&arguments.sources, &Narrowed::default(), |input| {
        // A difference that nobody sees is not worth the work; a file is.
        if arguments.diff && !out.is_heard() {
            return;
        }
        let done = match arguments.target {
            Some(target) => write(&mut out, &input, arguments, target),
            None => cues::write(&mut out, &input, arguments),
        };
        if let Err(why) = done {
            complain(&why);
            undone += 1;
        }
    });
    out.end()?;
    Ok(Outcome::unless_failed(failures + undone))
}

/// A document with its parts rewritten.
struct Rewritten {
    document: Arc<Document>,
    /// What the parts that were rewritten were called; none when all were written so already.
    parts: Vec<String>,
}

fn rewritten(
    input: &Input,
    arguments: &RewriteArguments,
    target: horn::WrittenFor,
) -> Result<Rewritten, String> {
    let judged = &input.judged;
    let parts: Vec<HornOf<'_>> = chosen::parts(judged, arguments.part.as_deref())?
        .into_iter()
        .filter(|part| !engine::is_written_for(part.horn, target))
        .collect();
    let document = if parts.is_empty() {
        Arc::clone(judged.document())
    } else {
        let proven = judged.rewrite(&parts, target);
        let proven = proven.map_err(|refused| format!("not rewritten: {refused}"))?;
        Arc::clone(proven.document())
    };
    Ok(Rewritten {
        document,
        parts: parts.iter().map(|part| part.horn.label.clone()).collect(),
    })
}

/// Writes the parts of a file for another horn; the error says why it could not be done.
fn write<W: Write>(
    out: &mut Deferred<W>,
    input: &Input,
    arguments: &RewriteArguments,
    target: horn::WrittenFor,
) -> Result<(), String> {
    let rewritten = rewritten(input, arguments, target);
    let Rewritten { document, parts } =
        rewritten.map_err(|why| format!("{}: {why}", input.shown()))?;
    let phrase = target.phrase();
    let done = (!parts.is_empty()).then(|| format!("{} written {phrase}", parts.join(", ")));
    let nothing = format_args!("written {phrase} already");
    deliver(
        out,
        input,
        &document,
        arguments.diff,
        done.as_slice(),
        nothing,
    )
}
