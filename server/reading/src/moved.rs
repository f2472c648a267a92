//! A horn part read once, at other places of its text: what an edit elsewhere makes of it.
//!
//! Structures are taken apart without `..`, so that what is added must be decided on. Wherever a place is not known in the
//! new text, the part is read anew.

use std::sync::Arc;

use score::{Moved, Row, Span};

use crate::away::Absence;
use crate::crook::{Contrary, CrookInForce, CrookSaid, Disagreement};
use crate::jump::Jump;
use crate::note::{Marked, PlayedMark, PlayedNote};
use crate::part::{HornPart, RipMark};
use crate::players::Call;
use crate::technique::Technique;

/// Brings the places of a value to a new text; false when one of them is not known there.
trait Move {
    fn follow(&mut self, moved: &Moved) -> bool;
}

impl Move for Span {
    fn follow(&mut self, moved: &Moved) -> bool {
        let new = moved.span(*self);
        *self = new.unwrap_or(*self);
        new.is_some()
    }
}

impl<T: Move> Move for Option<T> {
    fn follow(&mut self, moved: &Moved) -> bool {
        self.as_mut().is_none_or(|it| it.follow(moved))
    }
}

impl<T: Move> Move for Vec<T> {
    fn follow(&mut self, moved: &Moved) -> bool {
        self.iter_mut().all(|it| it.follow(moved))
    }
}

impl<T: Move + Clone> Move for Row<T> {
    fn follow(&mut self, moved: &Moved) -> bool {
        self.iter_mut().all(|it| it.follow(moved))
    }
}

impl Move for Technique {
    fn follow(&mut self, moved: &Moved) -> bool {
        let Self {
            hand: _,
            hand_mark,
            mute: _,
            mute_mark,
            bell_up: _,
            bell_mark,
            tone: _,
            tone_mark,
        } = self;
        hand_mark.follow(moved)
            && mute_mark.follow(moved)
            && bell_mark.follow(moved)
            && tone_mark.follow(moved)
    }
}

impl Move for Marked {
    fn follow(&mut self, moved: &Moved) -> bool {
        let Self { dynamic, solo } = self;
        dynamic.as_mut().is_none_or(|(_, mark)| mark.follow(moved)) && solo.follow(moved)
    }
}

/// What several notes share, as it was and as it has become.
struct Shared<T>(Option<(Arc<T>, Arc<T>)>);

impl<T: Move + Copy> Shared<T> {
    /// Brings what a note shares with the one before to the new text.
    fn follow(&mut self, it: &mut Arc<T>, moved: &Moved) -> bool {
        if let Some((old, new)) = &self.0
            && Arc::ptr_eq(old, it)
        {
            *it = Arc::clone(new);
            return true;
        }
        let mut new = **it;
        let known = new.follow(moved);
        let old = std::mem::replace(it, Arc::new(new));
        self.0 = Some((old, Arc::clone(it)));
        known
    }
}

/// Brings notes to a new text.
fn move_notes(notes: &mut Row<PlayedNote>, moved: &Moved) -> bool {
    let (mut techniques, mut marks) = (Shared(None), Shared(None));
    notes
        .iter_mut()
        .all(|note| move_note(note, &mut techniques, &mut marks, moved))
}

fn move_note(
    note: &mut PlayedNote,
    techniques: &mut Shared<Technique>,
    marks: &mut Shared<Marked>,
    moved: &Moved,
) -> bool {
    let PlayedNote {
        span,
        pitch_span,
        bar: _,
        number: _,
        offset: _,
        onset: _,
        length: _,
        clef: _,
        written: _,
        sounding: _,
        height: _,
        register: _,
        technique,
        marked,
        starts: _,
        ends: _,
        since_rest: _,
        alteration_from: _,
        grace: _,
        chord: _,
        tied_from: _,
        tied_to: _,
        slurred_to_next: _,
        breath,
        fermata: _,
        trill,
        layer: _,
        players: _,
    } = note;
    span.follow(moved)
        && pitch_span.follow(moved)
        && techniques.follow(technique, moved)
        && marks.follow(marked, moved)
        && breath.follow(moved)
        && trill.as_mut().is_none_or(|trill| trill.1.follow(moved))
}

impl Move for PlayedMark {
    fn follow(&mut self, moved: &Moved) -> bool {
        let Self {
            span,
            alone: _,
            said: _,
            words: _,
            term: _,
            language: _,
            bar: _,
            number: _,
            onset: _,
            before,
            again,
            last_note: _,
            next_note: _,
        } = self;
        span.follow(moved) && before.follow(moved) && again.follow(moved)
    }
}

impl Move for CrookSaid {
    fn follow(&mut self, moved: &Moved) -> bool {
        match self {
            Self::Named(_, span) | Self::Words(span) => span.follow(moved),
            Self::Told | Self::Recorded | Self::Assumed => true,
        }
    }
}

impl Move for CrookInForce {
    fn follow(&mut self, moved: &Moved) -> bool {
        let Self {
            crook: _,
            said,
            transposition: _,
            recorded,
            choices: _,
            settled: _,
        } = self;
        said.follow(moved) && recorded.as_mut().is_none_or(|(_, span)| span.follow(moved))
    }
}

impl Move for Disagreement {
    fn follow(&mut self, moved: &Moved) -> bool {
        let Self {
            from: _,
            span,
            crook,
            fault: _,
            contrary,
        } = self;
        span.follow(moved) && crook.follow(moved) && contrary.follow(moved)
    }
}

impl Move for Contrary {
    fn follow(&mut self, moved: &Moved) -> bool {
        let Self {
            kind: _,
            name: _,
            span,
        } = self;
        span.follow(moved)
    }
}

impl Move for Jump {
    fn follow(&mut self, moved: &Moved) -> bool {
        let Self {
            last: _,
            next: _,
            time: _,
            rest: _,
            before,
            after,
            on_page,
        } = self;
        before.follow(moved) && after.follow(moved) && on_page.follow(moved)
    }
}

impl Move for RipMark {
    fn follow(&mut self, moved: &Moved) -> bool {
        let Self {
            mark,
            from: _,
            to: _,
        } = self;
        mark.follow(moved)
    }
}

impl Move for Call {
    fn follow(&mut self, moved: &Moved) -> bool {
        let Self {
            span,
            number: _,
            to: _,
            fits: _,
        } = self;
        span.follow(moved)
    }
}

impl Move for Absence {
    fn follow(&mut self, moved: &Moved) -> bool {
        let Self {
            words: _,
            span,
            number: _,
            players: _,
            from: _,
            back: _,
        } = self;
        span.follow(moved)
    }
}

impl Move for HornPart {
    fn follow(&mut self, moved: &Moved) -> bool {
        let Self {
            seat: _,
            label: _,
            head,
            name_span,
            crook,
            crook_changes,
            disagreements,
            performed: _,
            keys,
            notes,
            endurance: _,
            passes: _,
            jumps,
            at_end,
            growth: _,
            marks,
            language: _,
            mute_language: _,
            rips,
            player: _,
            lines,
            calls,
            absences,
            unclear: _,
            too_many: _,
        } = self;
        head.follow(moved)
            && name_span.follow(moved)
            && crook.follow(moved)
            && crook_changes
                .iter_mut()
                .all(|(_, crook, span)| crook.follow(moved) && span.follow(moved))
            && disagreements.follow(moved)
            && keys.iter_mut().all(|(_, _, span)| span.follow(moved))
            && move_notes(notes, moved)
            && jumps.follow(moved)
            && at_end.follow(moved)
            && marks.follow(moved)
            && rips.follow(moved)
            && lines.follow(moved)
            && calls.follow(moved)
            && absences.follow(moved)
    }
}

/// The same part in a text in which its places have moved; `None` where one of them is not known there.
pub(crate) fn move_part(part: &HornPart, moved: &Moved) -> Option<HornPart> {
    let mut part = part.clone();
    // Where nothing of it has moved, its notes are shared.
    (moved.is_nothing() || part.follow(moved)).then_some(part)
}
