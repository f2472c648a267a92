//! Findings for programs: the JSON that others build on; its version says when its shape changes.

use engine::Severity;
use files::{JSON_VERSION, Offer, Place, Remark, Wanted};
use serde::Serialize;

use super::{Ending, Score, Shape, listed};
use crate::cli::check::tally::Tally;

/// How deep the list of files stands.
const DEPTH: usize = 2;

/// All files with their findings, and a summary.
pub(crate) struct Json;

impl Shape for Json {
    fn wanted(&self) -> Wanted {
        Wanted {
            edits: true,
            ..Wanted::default()
        }
    }

    fn open(&self, _: &Tally) -> std::io::Result<Vec<u8>> {
        let (head, _) = listed::around(&Report::of(&Tally::default()), "files")?;
        Ok(head.into_bytes())
    }

    fn score(&self, score: &Score<'_>) -> std::io::Result<Vec<u8>> {
        let file = File {
            path: &score.shown(),
            format: &score.verdict.format,
            findings: score.remarks().map(entry).collect(),
        };
        listed::items(std::iter::once(file), DEPTH)
    }

    fn between(&self) -> &'static [u8] {
        b","
    }

    fn close(&self, ending: &Ending<'_>) -> std::io::Result<Vec<u8>> {
        let (_, tail) = listed::around(&Report::of(ending.tally), "files")?;
        Ok((listed::end(ending.any, DEPTH) + &tail).into_bytes())
    }
}

#[derive(Serialize)]
struct Report {
    version: u32,
    /// Written one by one.
    files: [(); 0],
    summary: Summary,
}

impl Report {
    fn of(sum: &Tally) -> Self {
        Self {
            version: JSON_VERSION,
            files: [],
            summary: Summary {
                error: sum.count(Severity::Error),
                warning: sum.count(Severity::Warning),
                information: sum.count(Severity::Information),
                hint: sum.count(Severity::Hint),
            },
        }
    }
}

#[derive(Serialize)]
struct File<'a> {
    path: &'a str,
    format: &'a str,
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
    edits: Vec<Edit<'a>>,
}

#[derive(Serialize)]
struct Edit<'a> {
    start: usize,
    end: usize,
    text: &'a str,
}

#[derive(Serialize)]
struct Summary {
    error: usize,
    warning: usize,
    information: usize,
    hint: usize,
}

fn entry(remark: &Remark) -> Entry<'_> {
    Entry {
        rule: &remark.rule,
        severity: remark.severity.name(),
        part: remark.part.as_deref(),
        player: remark.player,
        bar: remark.bar,
        start: remark.at.start,
        end: remark.at.end,
        message: &remark.message,
        source: &remark.source,
        fixes: remark.fixes.iter().filter_map(fix).collect(),
    }
}

/// A fix that cannot be proven is not offered.
fn fix(offer: &Offer) -> Option<Fix<'_>> {
    let edits = offer.edits.as_ref()?.iter();
    Some(Fix {
        title: &offer.title,
        safety: &offer.safety,
        edits: edits
            .map(|edit| Edit {
                start: edit.at.start.byte,
                end: edit.at.end.byte,
                text: &edit.text,
            })
            .collect(),
    })
}
