//! Values and heaps beyond all measure, in every notation that can say them: each is told where it stands, what else is in
//! the file is read, every command answers, and no memory is taken that the text does not pay for.
#![expect(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test fails loudly, and says what it found"
)]

mod heaps;
mod values;

use notation::{Document, Format};
use rules::Finding;
use support::{ask_everything, judge};

/// Where a case's text goes: before and after it stands music that must be read.
struct Frame {
    format: Format,
    before: &'static str,
    after: &'static str,
}

impl Frame {
    /// Asks everything of a text with something put in, and looks for what must be said of it and read besides.
    fn hold(&self, what: &str, put: &str, said: &str) {
        let text = [self.before, put, self.after].concat();
        let document = Document::from_text(self.format, &text);
        let findings = unreadable(&document);
        let hole = self.before.len()..=self.before.len() + put.len();
        let told = findings
            .iter()
            .find(|finding| finding.message.contains(said));
        let told = told.unwrap_or_else(|| panic!("{what}: `{said}` is not said: {findings:#?}"));
        assert!(
            hole.contains(&told.span.start) && hole.contains(&told.span.end),
            "{what}: {:?} does not lie in {hole:?}",
            told.span
        );
        // Both of a case's own bars are there, whatever stands between them.
        let judged = judge(&document);
        let notes: Vec<String> = judged.pieces().next().unwrap().1.horns[0]
            .notes
            .iter()
            .map(|note| note.written.to_string())
            .collect();
        assert_eq!(notes.first().unwrap(), "G4", "{what}: {notes:?}");
        assert_eq!(notes.last().unwrap(), "A4", "{what}: {notes:?}");
        let _ = ask_everything(&document, text.as_bytes());
    }
}

/// What is said of the parts of a document that cannot be read.
fn unreadable(document: &Document) -> Vec<Finding> {
    let mut findings = judge(document).findings().to_vec();
    findings.retain(|finding| finding.rule == "text/unreadable");
    findings
}

/// The most memory that this process ever had, in MiB; nothing where the system does not tell.
fn peak() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    line.map_or(0, |line| {
        let kilobytes: u64 = line.trim().trim_end_matches(" kB").parse().unwrap();
        kilobytes >> 10
    })
}
