//! `bellhand check`: findings as text, as a page, or for programs.

use std::io::{BufWriter, Write};

use super::arguments::{CheckArguments, Report};
use super::input;
use super::{Outcome, html, json, report, sarif};

pub(crate) fn run(arguments: &CheckArguments) -> std::io::Result<Outcome> {
    let (inputs, failures) = input::read(&arguments.sources);
    // Only the text has colours to take out, and all of them would go out by single words.
    let mut out: BufWriter<Box<dyn Write>> = BufWriter::new(match arguments.format {
        Report::Text => Box::new(anstream::stdout()),
        Report::Json | Report::Html | Report::Sarif => Box::new(std::io::stdout()),
    });
    match arguments.format {
        Report::Text => report::write(&mut out, &inputs)?,
        Report::Json => json::write(&mut out, &inputs)?,
        Report::Html => html::write(&mut out, &inputs)?,
        Report::Sarif => sarif::write(&mut out, &inputs)?,
    }
    out.flush()?;
    let found = inputs
        .iter()
        .flat_map(|input| input.judged.findings())
        .any(|finding| finding.severity >= arguments.fail_on);
    Ok(if failures > 0 {
        Outcome::Failed
    } else if found {
        Outcome::Findings
    } else {
        Outcome::Clean
    })
}
