//! Findings for programs: the JSON that others build on; its version says when its shape changes.

use std::io::Write;

use engine::{Finding, Judged, Offers, Severity};
use serde::Serialize;

use super::input::Input;
use super::place::{Place, place};

/// The version of the shape.
pub(crate) const VERSION: u32 = 1;

#[derive(Serialize)]
struct Report<'a> {
    version: u32,
    files: Vec<File<'a>>,
    summary: Summary,
}

#[derive(Serialize)]
struct File<'a> {
    path: String,
    format: &'static str,
    findings: Vec<Entry<'a>>,
}

#[derive(Serialize)]
struct Entry<'a> {
    rule: &'a str,
    severity: &'a str,
    part: Option<&'a str>,
    player: Option<u8>,
    bar: Option<u32>,
    start: Place,
    end: Place,
    message: &'a str,
    source: &'a str,
    fixes: Vec<Fix<'a>>,
}

#[derive(Serialize)]
struct Fix<'a> {
    title: &'a str,
    safety: &'a str,
    edits: Vec<Edit>,
}

#[derive(Serialize)]
struct Edit {
    start: usize,
    end: usize,
    text: String,
}

#[derive(Serialize, Default)]
struct Summary {
    error: usize,
    warning: usize,
    information: usize,
    hint: usize,
}

/// Writes the report.
pub(crate) fn write(out: &mut impl Write, inputs: &[Input]) -> std::io::Result<()> {
    let mut summary = Summary::default();
    let mut files = Vec::new();
    for input in inputs {
        let judged = &input.judged;
        let offers = judged.offers();
        for finding in judged.findings() {
            match finding.severity {
                Severity::Error => summary.error += 1,
                Severity::Warning => summary.warning += 1,
                Severity::Information => summary.information += 1,
                Severity::Hint => summary.hint += 1,
            }
        }
        files.push(File {
            path: input.shown(),
            format: judged.document().format().name(),
            findings: judged
                .findings()
                .iter()
                .map(|finding| entry(judged, &offers, finding))
                .collect(),
        });
    }
    let report = Report {
        version: VERSION,
        files,
        summary,
    };
    serde_json::to_writer_pretty(&mut *out, &report)?;
    writeln!(out)
}

fn entry<'a>(judged: &Judged, offers: &Offers<'_>, finding: &'a Finding) -> Entry<'a> {
    let document = judged.document();
    Entry {
        rule: finding.rule,
        severity: finding.severity.name(),
        part: finding.part.as_deref(),
        player: finding.player,
        bar: finding.bar,
        start: place(document, finding.span.start),
        end: place(document, finding.span.end),
        message: &finding.message,
        source: &finding.source,
        // A fix that cannot be proven is not offered.
        fixes: finding
            .fixes
            .iter()
            .filter_map(|fix| {
                let edits = offers.edits(fix)?;
                Some(Fix {
                    title: &fix.title,
                    safety: fix.safety.name(),
                    edits: edits
                        .iter()
                        .map(|edit| Edit {
                            start: document.file_offset(edit.span.start),
                            end: document.file_offset(edit.span.end),
                            text: edit.text.clone(),
                        })
                        .collect(),
                })
            })
            .collect(),
    }
}
