//! Whether the notes that stayed are played as in the lesson: by whom, with which hand, mute, bell and tone.

use reading::{Hand, HornPart, Mute, PlayedNote, Tone};
use score::Span;

use super::kept::{Beside, SameNote};
use super::marks::Change;

/// What is played otherwise of notes that sound the same, in a bar that had to stay.
pub(super) fn other(
    beside: &Beside<'_>,
    part: usize,
    was: Option<&HornPart>,
    is: Option<&HornPart>,
    notes: &[SameNote<'_>],
) -> Option<Otherwise> {
    let (was, is) = (was?, is?);
    for (one, other) in notes {
        let (Some(one), Some(other)) = (one.played, other.played) else {
            // One of them is played on another instrument.
            if one.played.is_some() != other.played.is_some() {
                return Some(Otherwise {
                    what: Change::Players,
                    by: None,
                });
            }
            continue;
        };
        let differs = |state: &State| !state.same && !beside.may_reach(part, state);
        if let Some(state) = states(one, other).into_iter().find(differs) {
            return Some(state.otherwise());
        }
        if one.players != other.players && !beside.free.head(beside.piece, part) {
            let called = State {
                same: false,
                usual: false,
                was: last_call(was, one),
                is: last_call(is, other),
                what: Change::Players,
            };
            if differs(&called) {
                return Some(called.otherwise());
            }
        }
    }
    None
}

/// What is played otherwise, and by which mark: the answer's, else the lesson's.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Otherwise {
    pub(super) what: Change,
    by: Option<(bool, Span)>,
}

/// How a note is played in one respect, in the lesson and in the answer.
struct State {
    same: bool,
    /// Whether it is played as usual in the answer: what was begun has been undone.
    usual: bool,
    /// The mark that has it so in the lesson.
    was: Option<Span>,
    /// The mark that has it so in the answer.
    is: Option<Span>,
    what: Change,
}

impl State {
    fn otherwise(&self) -> Otherwise {
        let of_lesson = self.was.map(|span| (false, span));
        Otherwise {
            what: self.what,
            by: self.is.map(|span| (true, span)).or(of_lesson),
        }
    }
}

/// Every field is looked at, so that one added later must be decided on.
fn states(one: &PlayedNote, other: &PlayedNote) -> [State; 4] {
    let PlayedNote {
        // The bar's music has been compared: when, how long, what sounds, which ties.
        span: _,
        pitch_span: _,
        bar: _,
        number: _,
        offset: _,
        onset: _,
        length: _,
        sounding: _,
        grace: _,
        tied_from: _,
        tied_to: _,
        // Who plays is compared with what calls them.
        players: _,
        // The page may be another where it sounds the same.
        clef: _,
        written: _,
        height: _,
        register: _,
        alteration_from: _,
        chord: _,
        layer: _,
        // The tempo is compared by itself.
        starts: _,
        ends: _,
        // Marks for expression may be added or changed anywhere, and breath follows from them and from the music.
        marked: _,
        slurred_to_next: _,
        breath: _,
        fermata: _,
        trill: _,
        since_rest: _,
        technique: was,
    } = one;
    let is = &other.technique;
    [
        State {
            same: was.hand == is.hand,
            usual: is.hand == Hand::Open,
            was: was.hand_mark,
            is: is.hand_mark,
            what: Change::Hand,
        },
        State {
            same: was.mute == is.mute,
            usual: is.mute == Mute::Out,
            was: was.mute_mark,
            is: is.mute_mark,
            what: Change::Mute,
        },
        State {
            same: was.bell_up == is.bell_up,
            usual: !is.bell_up,
            was: was.bell_mark,
            is: is.bell_mark,
            what: Change::Bell,
        },
        State {
            same: was.tone == is.tone,
            usual: is.tone == Tone::Usual,
            was: was.tone_mark,
            is: is.tone_mark,
            what: Change::Tone,
        },
    ]
}

/// The last words before a note that say who plays.
fn last_call(horn: &HornPart, note: &PlayedNote) -> Option<Span> {
    // They stand in the order of the text, as notes do.
    let after = horn
        .calls
        .partition_point(|call| call.span.start <= note.span.start);
    let before = after.checked_sub(1)?;
    horn.calls.get(before).map(|call| call.span)
}

/// A bar of the lesson in which a mark stands, and whether its marks may change.
struct MarkBar {
    bar: usize,
    free: bool,
}

impl Beside<'_> {
    /// Whether a note may be played otherwise, for what marks do that may change: one of the lesson's that is gone, one
    /// that is new, or what they reach.
    fn may_reach(&self, part: usize, state: &State) -> bool {
        let bar = |bar: usize| MarkBar {
            bar,
            free: self.free.marks(self.piece, part, bar),
        };
        let was = state.was.and_then(|span| self.lesson.bar_at(part, span));
        let is = state.is.map(|span| {
            let of = self.parts.get(part).copied().flatten()?;
            let bar = self.answer.bar_at(of, span)?;
            self.bars.of_answer.get(bar).copied().flatten()
        });
        match (was.map(bar), is.map(|found| found.map(bar))) {
            // A bar that the lesson has not is not free.
            (_, Some(None)) => false,
            // The mark is gone.
            (Some(was), None) => was.free,
            (None, Some(Some(is))) => is.free,
            // Another stands in its place, or one further off ends what it began, or an earlier one now reaches on.
            (Some(was), Some(Some(is))) if was.free => is.free || state.usual || is.bar < was.bar,
            (Some(was), Some(Some(is))) => is.free && is.bar >= was.bar,
            (None, None) => false,
        }
    }
}
