//! `bellhand check`: findings as text or JSON.

use std::io::Write as _;

use engine::{Analyser, Analysis};

use super::arguments::{CheckArguments, Shape};
use super::input::{self, Input};
use super::{Outcome, json, report};

pub(crate) fn run(arguments: &CheckArguments) -> std::io::Result<Outcome> {
    let (judged, failures): (Vec<(Input, Analysis)>, usize) =
        input::each(&arguments.sources, |input| {
            let analysis = Analyser::new().analyse(&input.document, &input.settings);
            (input, analysis)
        });
    let mut out = anstream::stdout();
    match arguments.format {
        Shape::Text => report::write(&mut out, &judged)?,
        Shape::Json => json::write(&mut out, &judged)?,
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
