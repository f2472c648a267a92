//! A line for each finding, as compilers write them and editors and scripts read them.

use std::io::Write as _;

use super::{Ending, Score, Shape};

/// `path:line:column: severity rule: message`.
pub(crate) struct Line;

impl Shape for Line {
    fn score(&self, score: &Score<'_>) -> std::io::Result<Vec<u8>> {
        let path = score.shown();
        let mut out = Vec::new();
        for remark in score.remarks() {
            let start = remark.at.start;
            writeln!(
                out,
                "{path}:{}:{}: {} {}: {}",
                start.line,
                start.column,
                remark.severity,
                remark.rule,
                remark.line()
            )?;
        }
        Ok(out)
    }

    fn close(&self, _: &Ending<'_>) -> std::io::Result<Vec<u8>> {
        Ok(Vec::new())
    }
}
