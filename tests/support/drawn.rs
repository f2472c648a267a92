//! What is drawn of a document.

use engine::Judged;
use picture::Subject;

/// Every horn part of a document, with what is said about it.
#[must_use]
pub fn subjects(judged: &Judged) -> Vec<Subject<'_>> {
    let pieces = judged.pieces();
    let parts = pieces.flat_map(|(base, reading)| {
        let horns = reading.horns.iter();
        horns.map(move |horn| Subject {
            base,
            reading,
            horn,
            findings: judged.findings(),
        })
    });
    parts.collect()
}
