//! The shapes of a report, each made score by score.

mod github;
mod gitlab;
pub(crate) mod html;
mod json;
mod junit;
mod line;
mod listed;
mod sarif;
mod text;
mod together;

use std::borrow::Cow;
use std::path::Path;

use engine::{Finding, Judged};
use files::{Identity, Outcome, Remark, Verdict, Wanted, nameless_identities};

use super::tally::Tally;
use crate::cli::arguments::{CheckArguments, Report};
use crate::cli::terminal;
use html::Apart;

/// A score to be reported.
pub(crate) struct Score<'a> {
    /// Its place among all that were asked for, from 1.
    pub(crate) number: usize,
    pub(crate) path: &'a Path,
    pub(crate) verdict: &'a Verdict,
    /// The score itself, where a shape asks for it.
    pub(crate) judged: Option<&'a Judged>,
    /// Which of its findings are reported; the verdict holds no others.
    pub(crate) kept: &'a [bool],
}

impl<'a> Score<'a> {
    /// The path as it is shown.
    pub(crate) fn shown(&self) -> Cow<'a, str> {
        self.path.to_string_lossy()
    }

    /// What makes each of the findings the same wherever in the file it stands.
    pub(crate) fn identities(&self) -> Vec<Identity> {
        nameless_identities(&self.verdict.remarks)
    }

    pub(crate) fn remarks(&self) -> impl Iterator<Item = &'a Remark> {
        self.verdict.remarks.iter()
    }

    /// The findings as the engine made them, where the score is there.
    pub(crate) fn findings(&self) -> Vec<Finding> {
        let findings = self.judged.map_or(&[][..], Judged::findings);
        let kept = findings.iter().zip(self.kept).filter(|(_, kept)| **kept);
        kept.map(|(finding, _)| finding.clone()).collect()
    }
}

/// What is known when all scores have been reported.
pub(crate) struct Ending<'a> {
    pub(crate) tally: &'a Tally,
    /// Whether anything has been reported of any score.
    pub(crate) any: bool,
    /// What was complained about.
    pub(crate) complaints: &'a [String],
    pub(crate) outcome: Outcome,
    /// What else is said to people, below the sum.
    pub(crate) more: &'a str,
}

/// A shape of report.
pub(crate) trait Shape: Send + Sync {
    /// What it shows beside the findings themselves.
    fn wanted(&self) -> Wanted {
        Wanted::default()
    }

    /// Whether the beginning tells what was found, and so is made at the end.
    fn begins_with_the_sum(&self) -> bool {
        false
    }

    /// What stands before all scores.
    fn open(&self, _sum: &Tally) -> std::io::Result<Vec<u8>> {
        Ok(Vec::new())
    }

    /// What is reported of one score; nothing at all where there is nothing to say.
    fn score(&self, score: &Score<'_>) -> std::io::Result<Vec<u8>>;

    /// What stands between what is reported of two scores.
    fn between(&self) -> &'static [u8] {
        b""
    }

    /// What stands behind all scores.
    fn close(&self, ending: &Ending<'_>) -> std::io::Result<Vec<u8>>;
}

/// The shape that goes by a name; `apart` says whether a page of scores is several.
pub(crate) fn shape(report: Report, arguments: &CheckArguments, apart: Apart) -> Box<dyn Shape> {
    match report {
        Report::Text => Box::new(text::Text {
            width: terminal::width(),
            full: arguments.full,
        }),
        Report::Json => Box::new(json::Json),
        Report::Html => Box::new(html::Html { apart }),
        Report::Sarif => Box::new(sarif::Sarif),
        Report::Line => Box::new(line::Line),
        Report::Junit => Box::new(junit::Junit {
            fail_on: arguments.fail_on,
        }),
        Report::Github => Box::new(github::Github),
        Report::Gitlab => Box::new(gitlab::Gitlab),
    }
}

/// All that some shapes show.
pub(crate) fn wanted(shapes: &[Box<dyn Shape>]) -> Wanted {
    let each = shapes.iter().map(|shape| shape.wanted());
    each.fold(Wanted::default(), |all, one| Wanted {
        edits: all.edits || one.edits,
        excerpts: all.excerpts || one.excerpts,
        score: all.score || one.score,
    })
}
