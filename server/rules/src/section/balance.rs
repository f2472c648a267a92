//! `section/balance`: too few horns against the other brass in forte.

use std::iter::Peekable;

use horn::{Carrying, Dynamic};
use reading::HornPart;
use score::{EventKind, Kinds, MarkKind, Part};
use theory::Quarters;

use crate::context::PieceContext;
use crate::finding::Finding;
use crate::rule::rule;

rule! {
    /// Fewer than two horns for each trumpet or trombone where all are marked equally loud.
    ///
    /// ## Why it matters
    /// In forte one trumpet or trombone carries as far as two horns. With only one horn for each, the horns are not heard,
    /// and their players are tempted to force.
    ///
    /// ## What to write instead
    /// Double the horns, mark them a degree louder, or give them a line of their own register.
    ///
    /// ## Source
    /// One trumpet, trombone or tuba balances two horns in forte; where horns cannot be doubled, a degree louder:
    /// Rimsky-Korsakov, *Principles of Orchestration* (English edition 1922), pp. 23, 33, 85.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// V:2 name="Trumpet 1"
    /// V:3 name="Trumpet 2"
    /// [V:1] !ff! c4 | g4 |]
    /// [V:2] !ff! c4 | g4 |]
    /// [V:3] !ff! c4 | g4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horns 1.2. in F" transpose=-7
    /// V:2 name="Trumpet"
    /// [V:1] !ff! [ce]4 | [eg]4 |]
    /// [V:2] !ff! c4 | g4 |]
    /// ```
    "section/balance", Hint, Piece(check)
}

fn check(ctx: &PieceContext<'_>) -> Vec<Finding> {
    let piece = &ctx.reading.piece;
    let for_one = horn::horns_for_one_brass();
    let brass: Vec<&Part> = piece
        .parts
        .iter()
        .filter(|part| {
            part.name
                .as_ref()
                .is_some_and(|name| Carrying::of_name(&name.text) == Carrying::Brass)
        })
        .collect();
    let horns: usize = ctx.reading.horns.iter().map(players).sum();
    let Some(first) = ctx.reading.horns.first() else {
        return Vec::new();
    };
    if brass.is_empty() || horns >= for_one.value * brass.len() {
        return Vec::new();
    }
    // Where a horn and each of the others are loud together, and the horn is not the louder one.
    let mut loudness: Vec<Loudness<'_>> = brass.iter().map(|part| Loudness::of(part)).collect();
    let place = first.notes.iter().find(|note| {
        let Some((own, _)) = note.dynamic.filter(|(dynamic, _)| dynamic.is_loud()) else {
            return false;
        };
        let as_loud = loudness
            .iter_mut()
            .filter_map(|part| part.at(note.onset))
            .filter(|other| other.is_loud() && *other >= own);
        as_loud.count() * for_one.value > horns
    });
    let Some(note) = place else {
        return Vec::new();
    };
    let message = format!(
        "{horns} horn{} play{} against {} other brass at the same loudness here. In forte each of those carries as far as two horns, \
         and the horns will not be heard. Double them, mark them a degree louder, or thin out the others.",
        if horns == 1 { "" } else { "s" },
        if horns == 1 { "s" } else { "" },
        brass.len(),
    );
    vec![Finding::new(&RULE, note.pitch_span, message, &for_one.source).at_bar(note.number)]
}

fn players(part: &HornPart) -> usize {
    let named = part.seat.name.players.len();
    match (named, part.seat.name.plural) {
        (0, true) => 2,
        (0, false) => 1,
        (several, _) => several,
    }
}

/// A part's dynamics, followed as time goes on.
struct Loudness<'a> {
    marks: Peekable<Box<dyn Iterator<Item = (Quarters, Dynamic)> + 'a>>,
    now: Option<Dynamic>,
}

impl<'a> Loudness<'a> {
    fn of(part: &'a Part) -> Self {
        let marks = part
            .events_of(Kinds::DYNAMICS)
            .filter_map(|placed| match &placed.event.kind {
                EventKind::Mark(mark) => match &mark.kind {
                    MarkKind::Dynamic(letters) => Some((placed.onset, Dynamic::read(letters)?)),
                    _ => None,
                },
                _ => None,
            });
        let marks: Box<dyn Iterator<Item = (Quarters, Dynamic)> + 'a> = Box::new(marks);
        Self {
            marks: marks.peekable(),
            now: None,
        }
    }

    /// The dynamic in force at a moment, none of which was asked for before.
    fn at(&mut self, onset: Quarters) -> Option<Dynamic> {
        while let Some((_, dynamic)) = self.marks.next_if(|(at, _)| *at <= onset) {
            self.now = Some(dynamic);
        }
        self.now
    }
}
