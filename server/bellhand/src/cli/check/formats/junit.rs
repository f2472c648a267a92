//! Findings as tests that failed, in the XML that CI services read.

use std::io::Write as _;

use files::Remark;
use quick_xml::escape::escape;

use super::{Ending, Score, Shape};
use crate::cli::arguments::FailOn;
use crate::cli::check::tally::Tally;

/// A suite for each file, with a case for each finding; of a file with none, a case that passed.
pub(crate) struct Junit {
    /// What is milder has passed, and stands as what the test said.
    pub(crate) fail_on: FailOn,
}

impl Shape for Junit {
    fn open(&self, _: &Tally) -> std::io::Result<Vec<u8>> {
        let head = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<testsuites name=\"bellhand\">\n";
        Ok(head.as_bytes().to_vec())
    }

    fn score(&self, score: &Score<'_>) -> std::io::Result<Vec<u8>> {
        let path = attribute(&score.shown());
        let mut out = Vec::new();
        let failures = score.remarks().filter(|remark| self.fails(remark)).count();
        let tests = score.remarks().count().max(1);
        writeln!(
            out,
            "  <testsuite name=\"{path}\" tests=\"{tests}\" failures=\"{failures}\" errors=\"0\" skipped=\"0\">"
        )?;
        if score.verdict.remarks.is_empty() {
            writeln!(
                out,
                "    <testcase classname=\"{path}\" name=\"horn parts\"/>"
            )?;
        }
        for remark in score.remarks() {
            let start = remark.at.start;
            let name = format!("{} at {}:{}", remark.rule, start.line, start.column);
            writeln!(
                out,
                "    <testcase classname=\"{path}\" name=\"{}\">",
                attribute(&name)
            )?;
            let line = remark.line();
            let words = format!(
                "{}:{}:{}: {}: {line} [{}]",
                score.shown(),
                start.line,
                start.column,
                remark.severity,
                remark.source
            );
            if self.fails(remark) {
                writeln!(
                    out,
                    "      <failure type=\"{}\" message=\"{}\">{}</failure>",
                    remark.severity,
                    attribute(&line),
                    text(&words)
                )?;
            } else {
                writeln!(out, "      <system-out>{}</system-out>", text(&words))?;
            }
            writeln!(out, "    </testcase>")?;
        }
        writeln!(out, "  </testsuite>")?;
        Ok(out)
    }

    fn close(&self, ending: &Ending<'_>) -> std::io::Result<Vec<u8>> {
        let mut out = Vec::new();
        let many = ending.complaints.len();
        if many > 0 {
            writeln!(
                out,
                "  <testsuite name=\"bellhand\" tests=\"{many}\" failures=\"0\" errors=\"{many}\" skipped=\"0\">"
            )?;
            for why in ending.complaints {
                writeln!(
                    out,
                    "    <testcase classname=\"bellhand\" name=\"{0}\">\n      \
                     <error type=\"undone\" message=\"{0}\"/>\n    </testcase>",
                    attribute(why)
                )?;
            }
            writeln!(out, "  </testsuite>")?;
        }
        writeln!(out, "</testsuites>")?;
        Ok(out)
    }
}

impl Junit {
    fn fails(&self, remark: &Remark) -> bool {
        self.fail_on.is_reached_by(remark.severity)
    }
}

/// Words between tags; what XML cannot hold at all is left out.
fn text(words: &str) -> String {
    let held = |letter: &char| {
        let is_control = letter.is_control() && !"\t\n".contains(*letter);
        !is_control && !matches!(letter, '\u{fffe}' | '\u{ffff}')
    };
    escape(words.chars().filter(held).collect::<String>()).into_owned()
}

/// Words as an attribute's value, in one line.
fn attribute(words: &str) -> String {
    text(&words.replace(['\t', '\n'], " "))
}
