//! The shapes of a report, each made score by score.

mod html;
mod json;
mod listed;
mod sarif;
mod text;

use std::borrow::Cow;
use std::path::Path;

use engine::{Finding, Judged};

use super::tally::Tally;
use super::verdict::{Remark, Verdict, Wanted};
use crate::cli::arguments::Report;

/// A score to be reported.
pub(crate) struct Score<'a> {
    /// Its place among all that were asked for, from 1.
    pub(crate) number: usize,
    pub(crate) path: &'a Path,
    pub(crate) verdict: &'a Verdict,
    /// The score itself, where a shape asks for it.
    pub(crate) judged: Option<&'a Judged>,
}

impl<'a> Score<'a> {
    /// The path as it is shown.
    pub(crate) fn shown(&self) -> Cow<'a, str> {
        self.path.to_string_lossy()
    }

    pub(crate) fn remarks(&self) -> impl Iterator<Item = &'a Remark> {
        self.verdict.remarks.iter()
    }

    /// The findings as the engine made them, where the score is there.
    pub(crate) fn findings(&self) -> Vec<Finding> {
        self.judged
            .map_or_else(Vec::new, |judged| judged.findings().to_vec())
    }
}

/// What is known when all scores have been reported.
pub(crate) struct Ending<'a> {
    pub(crate) tally: &'a Tally,
    /// Whether anything has been reported of any score.
    pub(crate) any: bool,
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

/// The shape that goes by a name.
pub(crate) fn shape(report: Report) -> Box<dyn Shape> {
    match report {
        Report::Text => Box::new(text::Text),
        Report::Json => Box::new(json::Json),
        Report::Html => Box::new(html::Html),
        Report::Sarif => Box::new(sarif::Sarif),
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
