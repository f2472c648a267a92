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
    fn go(&mut self, moved: &Moved) -> bool;
}

impl Move for Span {
    fn go(&mut self, moved: &Moved) -> bool {
        let new = moved.span(*self);
        *self = new.unwrap_or(*self);
        new.is_some()
    }
}

impl<T: Move> Move for Option<T> {
    fn go(&mut self, moved: &Moved) -> bool {
        self.as_mut().is_none_or(|it| it.go(moved))
    }
}

impl<T: Move> Move for Vec<T> {
    fn go(&mut self, moved: &Moved) -> bool {
        self.iter_mut().all(|it| it.go(moved))
    }
}

impl<T: Move + Clone> Move for Row<T> {
    fn go(&mut self, moved: &Moved) -> bool {
        self.iter_mut().all(|it| it.go(moved))
    }
}

impl Move for Technique {
    fn go(&mut self, moved: &Moved) -> bool {
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
        hand_mark.go(moved) && mute_mark.go(moved) && bell_mark.go(moved) && tone_mark.go(moved)
    }
}

impl Move for Marked {
    fn go(&mut self, moved: &Moved) -> bool {
        let Self { dynamic, solo } = self;
        dynamic.as_mut().is_none_or(|(_, mark)| mark.go(moved)) && solo.go(moved)
    }
}

/// What several notes share, as it was and as it has become.
struct Shared<T>(Option<(Arc<T>, Arc<T>)>);

impl<T: Move + Copy> Shared<T> {
    /// Brings what a note shares with the one before to the new text.
    fn go(&mut self, it: &mut Arc<T>, moved: &Moved) -> bool {
        if let Some((old, new)) = &self.0
            && Arc::ptr_eq(old, it)
        {
            *it = Arc::clone(new);
            return true;
        }
        let mut new = **it;
        let known = new.go(moved);
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
    span.go(moved)
        && pitch_span.go(moved)
        && techniques.go(technique, moved)
        && marks.go(marked, moved)
        && breath.go(moved)
        && trill.as_mut().is_none_or(|trill| trill.1.go(moved))
}

impl Move for PlayedMark {
    fn go(&mut self, moved: &Moved) -> bool {
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
        span.go(moved) && before.go(moved) && again.go(moved)
    }
}

impl Move for CrookSaid {
    fn go(&mut self, moved: &Moved) -> bool {
        match self {
            Self::Named(_, span) | Self::Words(span) => span.go(moved),
            Self::Told | Self::Recorded | Self::Assumed => true,
        }
    }
}

impl Move for CrookInForce {
    fn go(&mut self, moved: &Moved) -> bool {
        let Self {
            crook: _,
            said,
            transposition: _,
            recorded,
            choices: _,
            settled: _,
        } = self;
        said.go(moved) && recorded.as_mut().is_none_or(|(_, span)| span.go(moved))
    }
}

impl Move for Disagreement {
    fn go(&mut self, moved: &Moved) -> bool {
        let Self {
            from: _,
            span,
            crook,
            fault: _,
            contrary,
        } = self;
        span.go(moved) && crook.go(moved) && contrary.go(moved)
    }
}

impl Move for Contrary {
    fn go(&mut self, moved: &Moved) -> bool {
        let Self {
            kind: _,
            name: _,
            span,
        } = self;
        span.go(moved)
    }
}

impl Move for Jump {
    fn go(&mut self, moved: &Moved) -> bool {
        let Self {
            last: _,
            next: _,
            time: _,
            rest: _,
            before,
            after,
            on_page,
        } = self;
        before.go(moved) && after.go(moved) && on_page.go(moved)
    }
}

impl Move for RipMark {
    fn go(&mut self, moved: &Moved) -> bool {
        let Self {
            mark,
            from: _,
            to: _,
        } = self;
        mark.go(moved)
    }
}

impl Move for Call {
    fn go(&mut self, moved: &Moved) -> bool {
        let Self {
            span,
            number: _,
            to: _,
            fits: _,
        } = self;
        span.go(moved)
    }
}

impl Move for Absence {
    fn go(&mut self, moved: &Moved) -> bool {
        let Self {
            words: _,
            span,
            number: _,
            players: _,
            from: _,
            back: _,
        } = self;
        span.go(moved)
    }
}

impl Move for HornPart {
    fn go(&mut self, moved: &Moved) -> bool {
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
        head.go(moved)
            && name_span.go(moved)
            && crook.go(moved)
            && crook_changes
                .iter_mut()
                .all(|(_, crook, span)| crook.go(moved) && span.go(moved))
            && disagreements.go(moved)
            && keys.iter_mut().all(|(_, _, span)| span.go(moved))
            && move_notes(notes, moved)
            && jumps.go(moved)
            && at_end.go(moved)
            && marks.go(moved)
            && rips.go(moved)
            && lines.go(moved)
            && calls.go(moved)
            && absences.go(moved)
    }
}

/// The same part in a text in which its places have moved; `None` where one of them is not known there.
pub(crate) fn move_part(part: &HornPart, moved: &Moved) -> Option<HornPart> {
    let mut part = part.clone();
    // Where nothing of it has moved, its notes are shared.
    (moved.is_nothing() || part.go(moved)).then_some(part)
}
