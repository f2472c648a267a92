//! Edits that the guard must refuse, and what they stand beside.

mod cues;
mod left_undone;
mod safe;
mod scores;
mod wrong_edits;

use score::{EventKind, Span};
use theory::WrittenPitch;

use super::*;

fn horn(document: &Document) -> &Part {
    &document.score().pieces[0].piece.parts[0]
}

/// Where the first event of a kind stands in the document.
fn place(document: &Document, wanted: impl Fn(&EventKind) -> bool) -> Span {
    let base = document.score().pieces[0].base;
    let found = horn(document)
        .events()
        .find(|placed| wanted(&placed.event.kind));
    found.unwrap().span().shifted(base)
}

/// The pitch of the note at a place.
fn pitch_at(document: &Document, at: Span) -> WrittenPitch {
    let pieces = document.score().pieces.iter();
    let events = pieces.flat_map(|placed| {
        let parts = placed.piece.parts.iter();
        parts
            .flat_map(Part::events)
            .map(|event| (placed.base, event))
    });
    let mut pitches = events.filter_map(|(base, placed)| match &placed.event.kind {
        EventKind::Note(note) if placed.span().shifted(base) == at => Some(note.written),
        _ => None,
    });
    pitches.next().unwrap()
}

fn proven(before: &Judged, after: &Document, fix: &Fix) -> Result<(), Refused> {
    prove(before, after, &[fix]).map(|_| ())
}

/// The document after a fix, when its notation can say it.
fn after(before: &Judged, fix: &Fix) -> Option<Document> {
    let edits = crate::proven::write(&before.document().writer(&before.document().text()), fix)
        .ok()?
        .edits;
    before.document().with_edits(&edits).ok()
}

/// Whether what stands on the page is why.
const fn page(why: &Refused) -> bool {
    matches!(why, Refused::Page { .. })
}
