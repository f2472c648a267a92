//! `bellhand/status`, a request of this server's own: the horn parts of a text, its findings by severity, and the part
//! at a place.

use reading::{HornPart, PieceReading};
use rules::Severity;
use serde::{Deserialize, Serialize};
use tower_lsp::lsp_types::{Position, Range, TextDocumentIdentifier};

use super::picture::part_at;
use crate::view::View;

/// The request's name.
pub(crate) const METHOD: &str = "bellhand/status";

/// What is asked for.
#[derive(Debug, Clone, Deserialize)]
#[serde(rename_all = "camelCase")]
pub(crate) struct Asked {
    pub(crate) text_document: TextDocumentIdentifier,
    position: Position,
}

/// The answer.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Answer {
    /// All horn parts, in the order of the text.
    parts: Vec<Horn>,
    /// How many findings there are of each severity.
    findings: Findings,
    /// The part at the position, or nearest before it, by its place among all; `None` without a horn part.
    part: Option<usize>,
    /// The horn it is for at the position.
    crook: Option<String>,
}

/// A horn part.
#[derive(Debug, Clone, Serialize)]
struct Horn {
    /// What it is called.
    label: String,
    /// The horn it is for at its start.
    crook: String,
    /// Where it is declared: code actions for the part as a whole are offered there.
    head: Range,
}

#[derive(Debug, Clone, Copy, Default, Serialize)]
struct Findings {
    error: usize,
    warning: usize,
    information: usize,
    hint: usize,
}

/// Counts what there is, and says what stands at the position.
pub(crate) fn status(view: &View, asked: &Asked) -> Answer {
    let byte = view.byte(asked.position);
    let mut findings = Findings::default();
    for finding in view.judged.findings() {
        match finding.severity {
            Severity::Error => findings.error += 1,
            Severity::Warning => findings.warning += 1,
            Severity::Information => findings.information += 1,
            Severity::Hint => findings.hint += 1,
        }
    }
    let here = part_at(view, byte);
    let same = |horn: &HornPart| here.is_some_and(|(_, _, part)| std::ptr::eq(part, horn));
    Answer {
        parts: view
            .horns()
            .map(|(base, _, horn)| Horn {
                label: horn.label.clone(),
                crook: horn.crook.label(),
                head: view.range(horn.head.shifted(base)),
            })
            .collect(),
        findings,
        part: view.horns().position(|(_, _, horn)| same(horn)),
        crook: here.map(|part| crook_at(part, byte)),
    }
}

/// The crook in force at a byte of a part.
fn crook_at((base, _, horn): (usize, &PieceReading, &HornPart), byte: usize) -> String {
    let begun = horn
        .notes
        .iter()
        .filter(|note| base + note.span.start <= byte);
    let last = begun.max_by_key(|note| note.span.start);
    last.map_or(&horn.crook, |note| horn.crook_at(note.onset))
        .label()
}
