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
struct Shared<'a, T>(Option<(&'a Arc<T>, Arc<T>)>);

impl<'a, T: Move + Copy> Shared<'a, T> {
    /// What a note shares with the one before, in the new text.
    fn moved(&mut self, old: &'a Arc<T>, moved: &Moved) -> Option<Arc<T>> {
        if let Some((before, new)) = &self.0
            && Arc::ptr_eq(before, old)
        {
            return Some(Arc::clone(new));
        }
        let mut new = **old;
        let new = new.follow(moved).then(|| Arc::new(new))?;
        self.0 = Some((old, Arc::clone(&new)));
        Some(new)
    }
}

impl Move for Row<PlayedNote> {
    /// Notes are most of a reading, so they are made at their new places in one go, and not copied first.
    fn follow(&mut self, moved: &Moved) -> bool {
        let (mut techniques, mut marks) = (Shared(None), Shared(None));
        let mut new = Vec::with_capacity(self.len());
        for note in self.iter() {
            let Some(note) = move_note(note, &mut techniques, &mut marks, moved) else {
                return false;
            };
            new.push(note);
        }
        *self = new.into();
        true
    }
}

/// A note in a new text; `None` where one of its places is not known there.
fn move_note<'a>(
    note: &'a PlayedNote,
    techniques: &mut Shared<'a, Technique>,
    marks: &mut Shared<'a, Marked>,
    moved: &Moved,
) -> Option<PlayedNote> {
    let PlayedNote {
        span,
        pitch_span,
        bar,
        number,
        offset,
        onset,
        length,
        clef,
        written,
        sounding,
        height,
        register,
        technique,
        marked,
        starts,
        ends,
        since_rest,
        alteration_from,
        grace,
        chord,
        tied_from,
        tied_to,
        slurred_to_next,
        breath,
        fermata,
        trill,
        layer,
        players,
    } = note;
    let (mut breath, mut trill) = (*breath, trill.clone());
    let known = breath.follow(moved) && trill.as_mut().is_none_or(|trill| trill.1.follow(moved));
    known.then_some(())?;
    Some(PlayedNote {
        span: moved.span(*span)?,
        pitch_span: moved.span(*pitch_span)?,
        bar: *bar,
        number: *number,
        offset: *offset,
        onset: *onset,
        length: *length,
        clef: *clef,
        written: *written,
        sounding: *sounding,
        height: *height,
        register: *register,
        technique: techniques.moved(technique, moved)?,
        marked: marks.moved(marked, moved)?,
        starts: *starts,
        ends: *ends,
        since_rest: *since_rest,
        alteration_from: *alteration_from,
        grace: *grace,
        chord: *chord,
        tied_from: *tied_from,
        tied_to: *tied_to,
        slurred_to_next: *slurred_to_next,
        breath,
        fermata: *fermata,
        trill,
        layer: *layer,
        players: *players,
    })
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
            && notes.follow(moved)
            && jumps.follow(moved)
            && at_end.follow(moved)
            && marks.iter_mut().all(|mark| mark.follow(moved))
            && rips.iter_mut().all(|rip| rip.follow(moved))
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
