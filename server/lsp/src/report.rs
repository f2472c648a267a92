//! What a client is told of a text's findings: made once, as the bytes that go to it, however often it is asked for.

use std::hash::{BuildHasher as _, BuildHasherDefault, DefaultHasher};

use engine::{Finding, Severity};
use tower_lsp::lsp_types::{Diagnostic, DiagnosticSeverity, Position, Range};

use super::diagnostics::{self, SOURCE};
use super::shared::Shared;
use super::view::View;

/// The most diagnostics told of one text: more than anybody reads, and all that an editor can show without delay.
const MOST: usize = 500;

/// Diagnostics as they go to the client.
#[derive(Debug)]
pub(super) struct Report {
    items: String,
    id: String,
}

impl Report {
    pub(super) fn of(view: &View, shared: &Shared) -> Self {
        let told = Self::told(view, shared);
        // Diagnostics are strings and numbers; nothing in them cannot be written.
        let items = serde_json::to_string(&told).unwrap_or_else(|_| "[]".to_owned());
        let hasher = BuildHasherDefault::<DefaultHasher>::default();
        let id = format!("{:016x}", hasher.hash_one(&items));
        Self { items, id }
    }

    /// The diagnostics of a text, as many as are told of one.
    pub(super) fn told(view: &View, shared: &Shared) -> Vec<Diagnostic> {
        let findings = view.judged.findings();
        let chosen = choose(findings, view.touched);
        let mut told: Vec<Diagnostic> = chosen
            .iter()
            .map(|finding| diagnostics::one(view, finding, shared))
            .collect();
        if chosen.len() < findings.len() {
            told.push(say_how_many(chosen.len(), findings.len()));
        }
        told
    }

    /// The diagnostics, as a JSON array.
    pub(super) fn items(&self) -> &str {
        &self.items
    }

    /// A name for what is told: the same for the same diagnostics, whatever was typed between.
    pub(super) fn id(&self) -> &str {
        &self.id
    }
}

/// The findings that are told, in the order of the text: errors first, then those nearest to where the text was touched
/// last, in bytes.
fn choose(findings: &[Finding], touched: usize) -> Vec<&Finding> {
    if findings.len() <= MOST {
        return findings.iter().collect();
    }
    let mut places: Vec<usize> = (0..findings.len()).collect();
    places.sort_by_key(|place| {
        let finding = &findings[*place];
        let span = finding.span;
        let away = span
            .start
            .saturating_sub(touched)
            .max(touched.saturating_sub(span.end));
        (finding.severity != Severity::Error, away)
    });
    places.truncate(MOST - 1);
    places.sort_unstable();
    places.into_iter().map(|place| &findings[place]).collect()
}

fn say_how_many(told: usize, all: usize) -> Diagnostic {
    Diagnostic {
        range: Range::new(Position::new(0, 0), Position::new(0, 0)),
        severity: Some(DiagnosticSeverity::INFORMATION),
        source: Some(SOURCE.to_owned()),
        message: format!(
            "{told} of {all} findings are shown here: the errors, and those nearest to where you last typed. \
             `bellhand check` lists them all."
        ),
        ..Diagnostic::default()
    }
}
