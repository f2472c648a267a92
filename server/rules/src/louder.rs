//! Notes marked one degree louder, where marks of their own say how loud they are.

use std::collections::{BTreeMap, BTreeSet};

use horn::{Dynamic, Loudness};
use reading::{HornPart, PieceReading, PlayedNote};
use score::{EventKind, Intent, Kinds, MarkKind, NewMark, Span};
use theory::Quarters;

/// The dynamics of some horns' staves.
pub(crate) struct Marks<'a> {
    reading: &'a PieceReading,
    marks: BTreeMap<(usize, Span), Marked<'a>>,
}

/// A dynamic, and what goes by it.
struct Marked<'a> {
    letters: &'a str,
    /// When notes that go by it are begun.
    attacks: BTreeSet<Quarters>,
}

impl<'a> Marks<'a> {
    /// The dynamics of some parts, by their places in the piece.
    pub(crate) fn of(reading: &'a PieceReading, parts: impl IntoIterator<Item = usize>) -> Self {
        let mut marks = BTreeMap::new();
        for place in parts {
            let part = reading.piece.parts.get(place);
            let events = part
                .into_iter()
                .flat_map(|part| part.events_of(Kinds::DYNAMICS));
            for placed in events {
                if let EventKind::Mark(mark) = &placed.event.kind
                    && let MarkKind::Dynamic(letters) = &mark.kind
                {
                    let marked = Marked {
                        letters,
                        attacks: BTreeSet::new(),
                    };
                    marks.insert((place, placed.span()), marked);
                }
            }
            let staff = reading.horn(place);
            let notes = staff.into_iter().flat_map(|staff| staff.notes.iter());
            for note in notes.filter(|note| !note.tied_from && !note.grace) {
                let by = note.marked.dynamic.map(|(_, mark)| (place, mark));
                if let Some(marked) = by.and_then(|by| marks.get_mut(&by)) {
                    marked.attacks.insert(note.onset);
                }
            }
        }
        Self { reading, marks }
    }

    /// The changes that mark notes one degree louder, and what is then marked: `mf`, `mf and f`.
    ///
    /// `None` where they cannot be marked so: a note is on the way to another loudness, a mark says more than one degree
    /// (`fp`), is as loud as ff, or holds for other notes of its staff too.
    pub(crate) fn louder(
        &self,
        notes: &[(&HornPart, &PlayedNote)],
    ) -> Option<(Vec<Intent>, String)> {
        let mut meant: BTreeMap<(usize, Span, Dynamic), BTreeSet<Quarters>> = BTreeMap::new();
        for (horn, note) in notes {
            let (dynamic, mark) = note.marked.dynamic?;
            if self.reading.around(horn, note).loudness != Some(Loudness::of(dynamic)) {
                return None;
            }
            let attacks = meant.entry((horn.seat.part, mark, dynamic)).or_default();
            attacks.insert(note.onset);
        }
        let mut intents = Vec::new();
        let mut letters: Vec<String> = Vec::new();
        for ((part, mark, dynamic), attacks) in meant {
            let marked = self.marks.get(&(part, mark))?;
            let plain = marked.letters == dynamic.to_string();
            if dynamic >= Dynamic::FF || !plain || marked.attacks != attacks {
                return None;
            }
            let louder = dynamic.louder().to_string();
            intents.push(Intent::ReplaceMark {
                mark,
                with: NewMark::Dynamic(louder.clone()),
            });
            if !letters.contains(&louder) {
                letters.push(louder);
            }
        }
        (!intents.is_empty()).then(|| (intents, letters.join(" and ")))
    }
}
