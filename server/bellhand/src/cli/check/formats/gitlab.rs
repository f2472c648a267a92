//! GitLab's Code Quality report (docs.gitlab.com, "Code Quality", implement a custom tool).

use engine::Severity;
use files::digest::short_digest;
use files::{Identity, Remark};
use serde_json::{Value, json};

use super::{Ending, Score, Shape, listed};
use crate::cli::check::tally::Tally;

/// How deep the list stands.
const DEPTH: usize = 1;

/// An issue for each finding, with a fingerprint that stays when lines move.
pub(crate) struct Gitlab;

impl Shape for Gitlab {
    fn open(&self, _: &Tally) -> std::io::Result<Vec<u8>> {
        Ok(b"[".to_vec())
    }

    fn score(&self, score: &Score<'_>) -> std::io::Result<Vec<u8>> {
        let path = score.shown().replace('\\', "/");
        let path = path.trim_start_matches("./");
        let identities = score.identities();
        let issues = score.remarks().zip(&identities);
        listed::items(issues.map(|(remark, is)| issue(path, remark, is)), DEPTH)
    }

    fn between(&self) -> &'static [u8] {
        b","
    }

    fn close(&self, ending: &Ending<'_>) -> std::io::Result<Vec<u8>> {
        Ok(format!("{}]\n", listed::end(ending.any, DEPTH)).into_bytes())
    }
}

fn issue(path: &str, remark: &Remark, identity: &Identity) -> Value {
    // Among all files' issues no two may have the same.
    let whole = format!("{path}\0{}\0{}", identity.of, identity.occurrence);
    json!({
        "description": remark.line(),
        "check_name": remark.rule,
        "fingerprint": short_digest(whole.as_bytes()),
        "severity": severity(remark.severity),
        "location": { "path": path, "lines": { "begin": remark.at.start.line } },
    })
}

/// GitLab's own degrees; none here is a blocker or critical to a program.
const fn severity(severity: Severity) -> &'static str {
    match severity {
        Severity::Error => "major",
        Severity::Warning => "minor",
        Severity::Information | Severity::Hint => "info",
    }
}
