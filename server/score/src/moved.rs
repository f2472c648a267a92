//! The same music at other places of a text: how far a part has moved since an edit elsewhere.

use crate::bar::{Bar, Barline, Run};
use crate::directive::Directive;
use crate::event::{Event, EventKind, Mark, MarkKind};
use crate::order::Order;
use crate::piece::{Part, Piece, Text, Unreadable};
use crate::span::Span;

/// How places have moved from one text of a piece to the next: those up to some byte stand where they stood, those from
/// another on are so many bytes further on, and of what lies between nothing is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Moved {
    /// Up to here nothing has moved, in bytes from the start of the old piece.
    before: usize,
    /// From here on all has moved, in bytes from the start of the old piece.
    after: usize,
    /// How far, in bytes; negative is back.
    by: isize,
}

impl Moved {
    /// Where a stretch of the old text stands in the new one; `None` where that is not known.
    #[must_use]
    pub const fn span(&self, old: Span) -> Option<Span> {
        let before = old.end <= self.before;
        let after = old.start >= self.after;
        match (before, after) {
            (true, false) => Some(old),
            (false, true) => match (
                old.start.checked_add_signed(self.by),
                old.end.checked_add_signed(self.by),
            ) {
                (Some(start), Some(end)) => Some(Span { start, end }),
                _ => None,
            },
            // An empty stretch right where text was put in.
            (true, true) | (false, false) => None,
        }
    }

    /// Whether all that is known stands where it stood.
    #[must_use]
    pub const fn is_nothing(&self) -> bool {
        self.by == 0
    }
}

/// Compares an old part with a new one, and learns from each pair of places how they have moved.
#[derive(Debug, Default)]
struct Comparison {
    before: usize,
    after: Option<usize>,
    by: Option<isize>,
}

impl Comparison {
    /// Takes in where something stood and stands now; false when that goes against what is known.
    fn span(&mut self, old: Span, new: Span) -> bool {
        if old == new {
            self.before = self.before.max(old.end);
            return self.after.is_none_or(|after| self.before <= after);
        }
        let by = new.start.wrapping_sub(old.start).cast_signed();
        if new.len() != old.len() || self.by.is_some_and(|known| known != by) {
            return false;
        }
        self.by = Some(by);
        self.after = Some(self.after.map_or(old.start, |after| after.min(old.start)));
        self.before <= old.start
    }

    fn optional<T>(
        &mut self,
        old: Option<&T>,
        new: Option<&T>,
        mut same: impl FnMut(&mut Self, &T, &T) -> bool,
    ) -> bool {
        match (old, new) {
            (None, None) => true,
            (Some(old), Some(new)) => same(self, old, new),
            _ => false,
        }
    }

    /// A value with its place.
    fn placed<T: PartialEq>(&mut self, old: Option<&(T, Span)>, new: Option<&(T, Span)>) -> bool {
        self.optional(old, new, |moved, old, new| {
            old.0 == new.0 && moved.span(old.1, new.1)
        })
    }

    /// Values that stand in a row, each compared with the one in its place.
    fn each<T>(
        &mut self,
        old: &[T],
        new: &[T],
        mut same: impl FnMut(&mut Self, &T, &T) -> bool,
    ) -> bool {
        let mut pairs = old.iter().zip(new);
        old.len() == new.len() && pairs.all(|(old, new)| same(self, old, new))
    }

    fn text(&mut self, old: &Text, new: &Text) -> bool {
        old.text == new.text && self.span(old.span, new.span)
    }

    fn bar(&mut self, old: &Bar, new: &Bar) -> bool {
        let Bar {
            number,
            onset,
            length,
            meter,
            runs,
            close,
        } = old;
        *number == new.number
            && *onset == new.onset
            && *length == new.length
            && *meter == new.meter
            && self.each(runs, &new.runs, Self::run)
            && self.optional(close.as_ref(), new.close.as_ref(), Self::barline)
    }

    fn barline(&mut self, old: &Barline, new: &Barline) -> bool {
        let Barline {
            span,
            repeat_end,
            repeat_start,
            times,
            repeat_from,
            ending_end,
            section_end,
            ending,
        } = old;
        *repeat_end == new.repeat_end
            && *repeat_start == new.repeat_start
            && *times == new.times
            && *repeat_from == new.repeat_from
            && *ending_end == new.ending_end
            && *section_end == new.section_end
            && *ending == new.ending
            && self.span(*span, new.span)
    }

    fn run(&mut self, old: &Run, new: &Run) -> bool {
        if std::sync::Arc::ptr_eq(&old.body, &new.body) {
            let length = old.body.text_length;
            return self.span(
                Span::new(old.base, old.base + length),
                Span::new(new.base, new.base + length),
            );
        }
        let (olds, news) = (&old.body.events, &new.body.events);
        self.each(olds, news, |moved, one, other| {
            moved.event((old.base, one), (new.base, other))
        })
    }

    /// Two events, each with where its run begins.
    fn event(
        &mut self,
        (old_base, old): (usize, &Event),
        (new_base, new): (usize, &Event),
    ) -> bool {
        let mut inner =
            |old: Span, new: Span| self.span(old.shifted(old_base), new.shifted(new_base));
        let same = match (&old.kind, &new.kind) {
            (EventKind::Note(one), EventKind::Note(other)) => {
                let moved = crate::event::Note {
                    pitch_span: one.pitch_span,
                    ..other.clone()
                };
                *one == moved && inner(one.pitch_span, other.pitch_span)
            }
            (EventKind::Mark(one), EventKind::Mark(other)) => match (one, other) {
                (
                    Mark {
                        kind: MarkKind::Words(one),
                        on_note,
                    },
                    Mark {
                        kind: MarkKind::Words(other),
                        on_note: on_other,
                    },
                ) => on_note == on_other && one.text == other.text && inner(one.span, other.span),
                _ => one == other,
            },
            (one, other) => one == other,
        };
        same && old.offset == new.offset
            && self.span(old.span.shifted(old_base), new.span.shifted(new_base))
    }

    fn part(&mut self, old: &Part, new: &Part) -> bool {
        // Taken apart, so that what is added must be decided on.
        let Part {
            id,
            name,
            witnesses,
            head,
            key,
            clef,
            meter,
            transposition,
            transposition_spelled,
            notes_sound,
            cues,
            pitch,
            opening,
            bars,
        } = old;
        *id == new.id
            && *clef == new.clef
            && *meter == new.meter
            && *transposition_spelled == new.transposition_spelled
            && *notes_sound == new.notes_sound
            && *cues == new.cues
            && *pitch == new.pitch
            && ends_alike(old, new)
            && self.optional(name.as_ref(), new.name.as_ref(), Self::text)
            && self.each(witnesses, &new.witnesses, |moved, old, new| {
                old.kind == new.kind && moved.text(&old.text, &new.text)
            })
            && self.span(*head, new.head)
            && self.placed(key.as_ref(), new.key.as_ref())
            && self.placed(transposition.as_ref(), new.transposition.as_ref())
            && self.optional(opening.as_ref(), new.opening.as_ref(), Self::barline)
            && self.each(bars, &new.bars, Self::bar)
    }

    fn order(&mut self, old: &Order, new: &Order) -> bool {
        let Order {
            span,
            sections,
            with_repeats,
        } = old;
        *sections == new.sections && *with_repeats == new.with_repeats && self.span(*span, new.span)
    }

    fn directive(&mut self, old: &Directive, new: &Directive) -> bool {
        let Directive {
            span,
            own_line,
            kind,
        } = old;
        *own_line == new.own_line && *kind == new.kind && self.span(*span, new.span)
    }

    fn unreadable(&mut self, old: &Unreadable, new: &Unreadable) -> bool {
        let Unreadable {
            span,
            problem,
            expected,
            lost,
            part,
        } = old;
        *problem == new.problem
            && *expected == new.expected
            && *lost == new.lost
            && *part == new.part
            && self.span(*span, new.span)
    }

    fn piece(&mut self, old: &Piece, new: &Piece) -> bool {
        // Taken apart, so that what is added must be decided on.
        let Piece {
            title,
            movement,
            composer,
            span: _,
            tempo,
            order,
            parts,
            directives,
            unreadable,
        } = old;
        // Another length of a note is seen at once, and no part is compared for nothing.
        let mut pairs = parts.iter().zip(&new.parts);
        pairs.all(|(old, new)| ends_alike(old, new))
            && self.optional(title.as_ref(), new.title.as_ref(), Self::text)
            && self.optional(movement.as_ref(), new.movement.as_ref(), Self::text)
            && self.optional(composer.as_ref(), new.composer.as_ref(), Self::text)
            && self.placed(tempo.as_ref(), new.tempo.as_ref())
            && self.optional(order.as_ref(), new.order.as_ref(), Self::order)
            && self.each(directives, &new.directives, Self::directive)
            && self.each(unreadable, &new.unreadable, Self::unreadable)
            && self.each(parts, &new.parts, Self::part)
    }

    /// What has been learnt, if all was the same.
    fn moved(&self, same: bool) -> Option<Moved> {
        same.then(|| Moved {
            before: self.before,
            after: self.after.unwrap_or(usize::MAX),
            by: self.by.unwrap_or(0),
        })
    }
}

/// Whether two parts have as many bars and end at the same moment.
fn ends_alike(old: &Part, new: &Part) -> bool {
    let last = |part: &Part| part.bars.last().map(|bar| (bar.onset, bar.length));
    old.bars.len() == new.bars.len() && last(old) == last(new)
}

impl Piece {
    /// How all of this piece, read from a new text, has moved from what it was; `None` when something in it is not the
    /// same, or its places have not all moved in one way.
    #[must_use]
    pub fn moved_from(&self, old: &Self) -> Option<Moved> {
        let mut comparison = Comparison::default();
        let same = comparison.piece(old, self);
        comparison.moved(same)
    }
}

impl Part {
    /// How this part, read from a new text, has moved from what it was; `None` when its music, or what is said of it, is
    /// not the same, or its places have not all moved in one way.
    #[must_use]
    pub fn moved_from(&self, old: &Self) -> Option<Moved> {
        let mut comparison = Comparison::default();
        let same = comparison.part(old, self);
        comparison.moved(same)
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use theory::Quarters;

    use super::*;
    use crate::bar::{RunBody, Runs};
    use crate::directive::DirectiveKind;
    use crate::event::TempoMark;
    use crate::piece::Lost;

    /// A part whose runs begin at these bytes, each four bytes long and shared.
    fn part(bases: &[usize]) -> Part {
        let body = Arc::new(RunBody::new(Vec::new(), 4));
        let bars = bases.iter().map(|base| Bar {
            number: 1,
            onset: Quarters::ZERO,
            length: Quarters::ONE,
            meter: None,
            runs: Runs::from_buf([Run {
                base: *base,
                body: Arc::clone(&body),
            }]),
            close: None,
        });
        Part {
            bars: bars.collect(),
            ..Part::default()
        }
    }

    /// The same part with the bodies of another, as an edit elsewhere leaves it.
    fn edited(old: &Part, bases: &[usize]) -> Part {
        let mut new = old.clone();
        for (bar, base) in new.bars.iter_mut().zip(bases) {
            bar.runs[0].base = *base;
        }
        new
    }

    #[test]
    fn what_stands_behind_an_edit_moves_with_it() {
        let old = part(&[0, 10, 20]);
        let moved = edited(&old, &[0, 13, 23]).moved_from(&old).unwrap();
        assert_eq!(moved.span(Span::new(1, 3)), Some(Span::new(1, 3)));
        assert_eq!(moved.span(Span::new(10, 12)), Some(Span::new(13, 15)));
        assert_eq!(moved.span(Span::new(3, 4)), Some(Span::new(3, 4)));
        // Between the two nobody knows where the edit was.
        assert_eq!(moved.span(Span::new(4, 5)), None);
        assert_eq!(moved.span(Span::new(3, 11)), None);
        assert!(!moved.is_nothing());
        let back = edited(&old, &[0, 7, 17]).moved_from(&old).unwrap();
        assert_eq!(back.span(Span::new(20, 24)), Some(Span::new(17, 21)));
        let unmoved = old.moved_from(&old).unwrap();
        assert_eq!(unmoved.span(Span::new(3, 24)), Some(Span::new(3, 24)));
        assert_eq!(unmoved.span(Span::new(24, 25)), None);
        assert!(unmoved.is_nothing());
    }

    #[test]
    fn other_music_or_several_ways_are_no_move() {
        let old = part(&[0, 10, 20]);
        for bases in [[0, 13, 24], [1, 10, 20], [2, 10, 22]] {
            assert_eq!(edited(&old, &bases).moved_from(&old), None, "{bases:?}");
        }
        let mut longer = old.clone();
        longer.bars[1].length = Quarters::whole(2);
        assert_eq!(longer.moved_from(&old), None);
        let mut named = old.clone();
        named.id = "2".to_owned();
        assert_eq!(named.moved_from(&old), None);
    }

    /// A piece with something in every one of its fields; its music begins at a byte, and so much further on than the rest.
    fn piece(at: usize) -> Piece {
        let text = |from: usize| Text {
            text: "Tide".to_owned(),
            span: Span::new(at + from, at + from + 4),
        };
        Piece {
            title: Some(text(0)),
            movement: Some(text(5)),
            composer: Some(text(10)),
            span: Span::new(0, at + 60),
            tempo: Some((
                TempoMark {
                    words: None,
                    tempo: None,
                },
                Span::new(at + 15, at + 16),
            )),
            order: Some(Order::of_letters("AB", Span::new(at + 16, at + 18))),
            parts: vec![part(&[at + 20, at + 30])],
            directives: vec![Directive {
                span: Span::new(at + 40, at + 45),
                own_line: true,
                kind: DirectiveKind::Task("Look".to_owned()),
            }],
            unreadable: vec![Unreadable {
                span: Span::new(at + 50, at + 55),
                problem: "`H` is no key".to_owned(),
                expected: "`K:none`".to_owned(),
                lost: Lost::Notes,
                part: Some(0),
            }],
        }
    }

    #[test]
    fn a_piece_has_only_moved_where_all_that_it_holds_is_the_same() {
        let old = piece(3);
        let moved = piece(7).moved_from(&old).unwrap();
        assert_eq!(moved.span(Span::new(3, 7)), Some(Span::new(7, 11)));
        assert!(old.moved_from(&old).unwrap().is_nothing());
        let changes: [fn(&mut Piece); 17] = [
            |it| it.title = None,
            |it| it.title.as_mut().unwrap().text.push('s'),
            |it| it.title.as_mut().unwrap().span = Span::new(8, 12),
            |it| it.movement = None,
            |it| it.composer = None,
            |it| it.tempo = None,
            |it| it.tempo.as_mut().unwrap().0.words = Some("slow".to_owned()),
            |it| it.order = None,
            |it| it.order.as_mut().unwrap().with_repeats = false,
            |it| it.order.as_mut().unwrap().sections = None,
            |it| it.parts.clear(),
            |it| it.parts[0].id.push('2'),
            |it| it.directives[0].own_line = false,
            |it| it.directives[0].kind = DirectiveKind::Task("Listen".to_owned()),
            |it| it.unreadable[0].part = None,
            |it| it.unreadable[0].lost = Lost::NoNotes,
            |it| it.unreadable[0].problem.push('!'),
        ];
        for (place, change) in changes.iter().enumerate() {
            let mut new = piece(7);
            change(&mut new);
            assert_eq!(new.moved_from(&old), None, "change {place}");
        }
    }

    #[test]
    fn what_touches_an_edit_is_told_apart_by_its_ends() {
        let old = part(&[0, 4]);
        let moved = edited(&old, &[0, 6]).moved_from(&old).unwrap();
        assert_eq!(moved.span(Span::new(2, 4)), Some(Span::new(2, 4)));
        assert_eq!(moved.span(Span::new(4, 5)), Some(Span::new(6, 7)));
        assert_eq!(moved.span(Span::new(4, 4)), None);
    }
}
