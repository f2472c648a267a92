//! Small notes of a part that is written another interval away, or in another signature: they move with its page.

use score::{EventKind, Part, Way};
use theory::{Interval, Quarters};

use super::Spelling;
use crate::edit::{CannotWrite, TextEdit};
use crate::musicxml::write::accidentals::{Show, respelled, signs};
use crate::musicxml::write::page::Source;
use crate::musicxml::write::{cannot, keys};
use crate::writing::accidentals::Change;

/// Every small note moves as far as its moment asks, and shows every accidental that the new signature does not.
pub(in crate::musicxml::write) fn edits(
    source: &Source<'_>,
    part: &Part,
    ways: &[Way],
    change: &Change,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let mut edits = Vec::new();
    let mut signatures = keys::keys(part).into_iter().peekable();
    let mut key = change.start;
    for bar in &part.bars {
        let end = bar
            .runs
            .last()
            .map_or(0, |run| run.base + run.body.text_length);
        while let Some((span, _, old)) = signatures.next_if(|(span, ..)| span.start < end) {
            key = change.keys.get(&span).copied().unwrap_or(old);
        }
        if !bar.holds(score::Kinds::CUES) {
            continue;
        }
        let mut spelling = Spelling::under(key);
        for placed in bar.events(0) {
            let EventKind::Cue(cue) = &placed.event.kind else {
                continue;
            };
            let Some(old) = cue.written else { continue };
            let page = source.measure(placed.base);
            let note = page
                .as_ref()
                .and_then(|page| Some((page, page.at(placed.span())?)));
            let pitch = note.and_then(|(_, note)| note.child("pitch"));
            let (Some((page, note)), Some(pitch)) = (note, pitch) else {
                return cannot("a small note of the part is not there any more");
            };
            let by = by_at(ways, placed.onset);
            let new = match by {
                Interval::UNISON => old.0,
                _ => old.0.transposed(by).plain(),
            };
            edits.extend(respelled(page, pitch, old.0, new));
            let show = Show {
                sign: spelling
                    .sign(theory::WrittenPitch(new))
                    .then_some(new.alteration.0),
                reminder: false,
            };
            let sign = note.child("accidental");
            let same = sign.is_some() == show.sign.is_some() && old.0.alteration == new.alteration;
            if !same {
                edits.extend(signs(page, note, sign, show, false)?);
            }
        }
    }
    Ok(edits)
}

/// How far the part moves at a moment.
fn by_at(ways: &[Way], onset: Quarters) -> Interval {
    let after = ways.partition_point(|way| way.from <= onset);
    let way = after.checked_sub(1).and_then(|at| ways.get(at));
    way.or_else(|| ways.first())
        .map(|way| way.by)
        .unwrap_or_default()
}
