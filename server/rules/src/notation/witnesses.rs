//! Whether a part may be named or recorded for a horn without asking: no witness may say another.

use horn::{Crook, CrookName, read_name_of_horn};
use score::{EventKind, Kinds, MarkKind, WitnessKind};

use crate::context::{AmongContext, PartContext};

/// Whether no name, word or record of the part says another horn than this one.
pub(super) fn none_but(ctx: &PartContext<'_>, crook: Crook) -> bool {
    let part = ctx.score;
    let fits = |name: CrookName| match name {
        CrookName::Named(named) => named == crook,
        CrookName::Ambiguous(choices) => choices.contains(&crook),
        CrookName::Unnamed => true,
    };
    let name_fits = |kind: WitnessKind, text: &str| {
        matches!(kind, WitnessKind::Class(_))
            || read_name_of_horn(text).is_none_or(|name| fits(name.crook))
    };
    let at_start = part
        .witnesses
        .iter()
        .all(|witness| name_fits(witness.kind, &witness.text.text));
    let in_music = || {
        let saying = Kinds::WITNESSES
            .and(Kinds::WORDS)
            .and(Kinds::TRANSPOSITIONS);
        part.events_of(saying).all(|placed| {
            match &placed.event.kind {
            EventKind::Witness(kind, text) => name_fits(*kind, text),
            EventKind::Mark(mark) => match &mark.kind {
                MarkKind::Words(text) => horn::read_words(&text.text).iter().all(|term| {
                    !matches!(term.instruction, horn::Instruction::Crook(name) if !fits(name))
                }),
                _ => true,
            },
            EventKind::Transposition(recorded) => {
                part.transposition.is_some_and(|(start, _)| start == *recorded)
                    || recorded.0.semitones == crook.transposition().0.semitones
            }
            _ => true,
        }
        })
    };
    at_start && in_music()
}

/// Whether no horn beside the part has another crook than F, so that an unnamed one can only be in F.
pub(super) fn all_in_f(ctx: &AmongContext<'_>) -> bool {
    ctx.reading.horns.iter().all(|horn| {
        let in_f = |crook: &reading::CrookInForce| crook.crook == Some(Crook::F);
        in_f(&horn.crook) && horn.crook_changes.iter().all(|(_, crook, _)| in_f(crook))
    })
}
