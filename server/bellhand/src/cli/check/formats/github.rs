//! GitHub's workflow commands, which annotate the lines of a change (docs.github.com, "Workflow commands").

use std::io::Write as _;

use engine::Severity;

use super::{Ending, Score, Shape};

/// A command for each finding.
pub(crate) struct Github;

impl Shape for Github {
    fn score(&self, score: &Score<'_>) -> std::io::Result<Vec<u8>> {
        let path = property(&score.shown());
        let mut out = Vec::new();
        for remark in score.remarks() {
            let at = remark.at;
            let title = property(&remark.rule);
            write!(
                out,
                "::{} file={path},line={},endLine={}",
                level(remark.severity),
                at.start.line,
                at.end.line
            )?;
            // Columns only hold within one line.
            if at.start.line == at.end.line {
                write!(out, ",col={},endColumn={}", at.start.column, at.end.column)?;
            }
            writeln!(out, ",title={title}::{}", data(&remark.line()))?;
        }
        Ok(out)
    }

    fn close(&self, _: &Ending<'_>) -> std::io::Result<Vec<u8>> {
        Ok(Vec::new())
    }
}

/// There are three levels.
const fn level(severity: Severity) -> &'static str {
    match severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
        Severity::Information | Severity::Hint => "notice",
    }
}

/// A message as it stands in a command.
fn data(words: &str) -> String {
    words
        .replace('%', "%25")
        .replace('\r', "%0D")
        .replace('\n', "%0A")
}

/// The value of a property, which ends at a comma or colon.
fn property(words: &str) -> String {
    data(words).replace(':', "%3A").replace(',', "%2C")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_would_end_a_command_is_escaped() {
        assert_eq!(data("100 %: a,b\r\nc"), "100 %25: a,b%0D%0Ac");
        assert_eq!(property("a:b,c%.abc"), "a%3Ab%2Cc%25.abc");
    }
}
