//! Marks that stand over parts of every kind, and so say nothing to the horns alone.

use horn::{Instruction, read_words};
use score::{EventKind, Kinds, Mark, MarkKind, Part, Piece, Sign};
use theory::Quarters;

use crate::roster::Seat;

/// What the page says to horns and others alike.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct CommonMarks {
    /// `+` stands in most other parts too: a copyist's sign, an ornament or an editor's, but no hand in the bell.
    pub(crate) plus: bool,
    /// When "solo" stands in several other parts at the same moment: a choir of them is heard, not one horn.
    solos: Vec<Quarters>,
}

impl CommonMarks {
    /// Looks for them in the parts that are no horns; when no horn has such a mark, they are not even looked at.
    pub(crate) fn of(piece: &Piece, seats: &[Seat]) -> Self {
        let enough = horn::others_that_share_a_mark().value;
        let is_horn = |index: usize| seats.iter().any(|seat| seat.part == index);
        let (horns, others): (Vec<_>, Vec<_>) = piece
            .parts
            .iter()
            .enumerate()
            .partition(|(index, _)| is_horn(*index));
        let plus_in = |parts: &[(usize, &Part)]| {
            let plus = |part| marks(part, Kinds::SIGNS).any(is_plus);
            let with = parts.iter().filter(|(_, part)| plus(part));
            with.count()
        };
        let plus = others.len() >= enough && plus_in(&horns) > 0 && {
            let with = plus_in(&others);
            with >= enough && 2 * with > others.len()
        };
        let mut solos: Vec<Quarters> = horns.iter().flat_map(|(_, part)| solos(part)).collect();
        solos.sort_unstable();
        solos.dedup();
        if !solos.is_empty() {
            let elsewhere: Vec<Vec<Quarters>> =
                others.iter().map(|(_, part)| self::solos(part)).collect();
            solos.retain(|solo| {
                let also = elsewhere.iter().filter(|part| part.contains(solo));
                also.count() >= enough
            });
        }
        Self { plus, solos }
    }

    /// Whether "solo" at this moment is said to others as well.
    pub(crate) fn solo_at(&self, onset: Quarters) -> bool {
        self.solos.binary_search(&onset).is_ok()
    }
}

fn marks(part: &Part, kinds: Kinds) -> impl Iterator<Item = (Quarters, &Mark)> {
    let marks = part.events_of(kinds);
    marks.filter_map(|placed| match &placed.event.kind {
        EventKind::Mark(mark) => Some((placed.onset, mark)),
        _ => None,
    })
}

fn is_plus((_, mark): (Quarters, &Mark)) -> bool {
    matches!(mark.kind, MarkKind::Sign(Sign::Plus))
}

/// When a part says "solo", in the order of time.
fn solos(part: &Part) -> Vec<Quarters> {
    marks(part, Kinds::WORDS)
        .filter(|(_, mark)| match &mark.kind {
            // Most words are no "solo", and reading them takes longer than this look.
            MarkKind::Words(text) => {
                text.text.to_lowercase().contains("sol")
                    && read_words(&text.text)
                        .iter()
                        .any(|term| term.instruction == Instruction::Solo)
            }
            _ => false,
        })
        .map(|(onset, _)| onset)
        .collect()
}
