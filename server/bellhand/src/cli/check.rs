//! `bellhand check`: findings as text, as a page, or for programs.

use std::io::Write as _;

use engine::{Analyser, Analysis};

use super::arguments::{CheckArguments, Report};
use super::input::{self, Input};
use super::{Outcome, html, json, report, sarif};

pub(crate) fn run(arguments: &CheckArguments) -> std::io::Result<Outcome> {
    let (judged, failures): (Vec<(Input, Analysis)>, usize) =
        input::each(&arguments.sources, |input| {
            let analysis = Analyser::new().analyse(&input.document, &input.settings);
            (input, analysis)
        });
    let mut out = anstream::stdout();
    match arguments.format {
        Report::Text => report::write(&mut out, &judged)?,
        Report::Json => json::write(&mut out, &judged)?,
        Report::Html => html::write(&mut out, &judged)?,
        Report::Sarif => sarif::write(&mut out, &judged)?,
    }
    out.flush()?;
    let found = judged
        .iter()
        .flat_map(|(_, analysis)| &analysis.findings)
        .any(|finding| finding.severity >= arguments.fail_on);
    Ok(if failures > 0 {
        Outcome::Failed
    } else if found {
        Outcome::Findings
    } else {
        Outcome::Clean
    })
}
