//! Findings that rest on a crook which witnesses leave in doubt are held back until it is settled; those that rest on the
//! player's own page, until there is one.

use reading::{HornPart, PieceReading, PlayedNote};
use score::Span;
use theory::PagePitch;

use crate::finding::Finding;
use crate::rule::{RestsOn, Rule};

/// Takes out what a rule says where the crook that it rests on is in doubt, or the page is no player's; spans count from
/// the piece.
///
/// `part` is the part that was judged; where the piece was, the finding's place says of which part it speaks.
pub fn hold_back(
    rule: &Rule,
    reading: &PieceReading,
    part: Option<&HornPart>,
    findings: &mut Vec<Finding>,
) {
    if rule.rests_on.is_empty() {
        return;
    }
    findings.retain(|finding| {
        let Some(part) = part.or_else(|| spoken_of(reading, finding.span)) else {
            return true;
        };
        if part.seat.pitch == PagePitch::Sounding && rule.rests_on.contains(&RestsOn::Page) {
            return false;
        }
        let Some(note) = note_after(part, finding.span) else {
            return true;
        };
        rule.rests_on.iter().all(|rests| match rests {
            RestsOn::Crook => part.crook_at(note.onset).settled,
            RestsOn::Crooks => reading
                .horns
                .iter()
                .all(|horn| horn.crook_at(note.onset).settled),
            RestsOn::Page => true,
        })
    });
}

/// The note that a finding speaks of: what stands before a note speaks of it.
fn note_after(part: &HornPart, span: Span) -> Option<&PlayedNote> {
    let next = part
        .notes
        .partition_point(|note| note.span.start < span.start);
    part.notes.get(next).or_else(|| part.notes.last())
}

/// The part that has a note at a place.
fn spoken_of(reading: &PieceReading, span: Span) -> Option<&HornPart> {
    reading
        .horns
        .iter()
        .find(|part| note_after(part, span).is_some_and(|note| note.span == span))
}
