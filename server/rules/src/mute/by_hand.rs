//! A muted passage stopped by hand instead, which needs no time.

use horn::{Height, Instruction, Wording};
use reading::{Hand, PlayedMark};
use score::{Intent, NewMark};

use super::change;
use crate::context::PartContext;

/// What has the passage that a mark mutes stopped by hand; `None` where a note of it cannot be, where something else stands
/// in the same words, or where nothing takes the mute out again.
pub(super) fn instead(ctx: &PartContext<'_>, mark: &PlayedMark) -> Option<Vec<Intent>> {
    if !mark.alone || !matches!(mark.said.instruction(), Instruction::MuteOn) {
        return None;
    }
    let from = mark.next_note?;
    let part = ctx.part;
    let muted = part.notes.iter().skip(from);
    let mut muted = muted.take_while(|note| note.technique.mute_mark == Some(mark.span));
    let lowest = horn::lowest_good_stopped().value;
    let can_be = |height: Height| {
        height.midi() >= lowest.midi()
            && horn::stopped_fingering(ctx.instrument(), height).is_some()
    };
    if !muted.all(|note| note.technique.hand == Hand::Open && can_be(note.height)) {
        return None;
    }
    let later = part.marks.partition_point(|one| one.onset < mark.onset);
    let mut later = part.marks.iter().skip(later);
    let end = later
        .find(|one| one.before.mute_mark == Some(mark.span) && change::asked(one) == Some(false))?;
    if !end.alone {
        return None;
    }
    // The word for the hand is of the language of the other words for it, not of those for the mute.
    let replace = |mark: &PlayedMark, wording| Intent::ReplaceMark {
        mark: mark.span,
        with: NewMark::Words(ctx.word(wording, None)),
    };
    Some(vec![
        replace(mark, Wording::Stopped),
        replace(end, Wording::Open),
    ])
}
