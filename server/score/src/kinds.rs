//! Which kinds of event a stretch of music holds, so that whoever looks for some passes over what holds none of them.

use crate::event::{Event, EventKind, MarkKind};

/// A set of kinds of event.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Kinds(u32);

impl Kinds {
    /// No kind.
    pub const NONE: Self = Self(0);
    /// Notes.
    pub const NOTES: Self = Self(1);
    /// Rests.
    pub const RESTS: Self = Self(1 << 1);
    /// Words over or under the staff.
    pub const WORDS: Self = Self(1 << 2);
    /// Signs.
    pub const SIGNS: Self = Self(1 << 3);
    /// Dynamics.
    pub const DYNAMICS: Self = Self(1 << 4);
    /// Beginnings and ends of hairpins.
    pub const HAIRPINS: Self = Self(1 << 5);
    /// Key signatures.
    pub const KEYS: Self = Self(1 << 6);
    /// Metres.
    pub const METERS: Self = Self(1 << 7);
    /// Tempos.
    pub const TEMPOS: Self = Self(1 << 8);
    /// Recorded transpositions.
    pub const TRANSPOSITIONS: Self = Self(1 << 9);
    /// Clefs.
    pub const CLEFS: Self = Self(1 << 10);
    /// What says what a part is for.
    pub const WITNESSES: Self = Self(1 << 11);
    /// Labels of sections.
    pub const SECTIONS: Self = Self(1 << 12);
    /// Further notes of a chord, and notes and rests beside the main line.
    pub const FURTHER: Self = Self(1 << 13);
    /// Signs of the way through the piece.
    pub const ROUTES: Self = Self(1 << 14);
    /// Small notes that another part plays.
    pub const CUES: Self = Self(1 << 15);
    /// Ends of pages.
    pub const PAGES: Self = Self(1 << 16);

    /// These and others.
    #[must_use]
    pub const fn and(self, others: Self) -> Self {
        Self(self.0 | others.0)
    }

    /// Whether any kind is in both sets.
    #[must_use]
    pub const fn meets(self, others: Self) -> bool {
        self.0 & others.0 != 0
    }

    /// What an event is; a note or rest may be of two kinds.
    #[must_use]
    pub const fn of(event: &Event) -> Self {
        match &event.kind {
            EventKind::Note(note) if note.chord || note.layer > 0 => Self::NOTES.and(Self::FURTHER),
            EventKind::Note(_) => Self::NOTES,
            EventKind::Rest(rest) if rest.layer > 0 => Self::RESTS.and(Self::FURTHER),
            EventKind::Rest(_) => Self::RESTS,
            EventKind::Cue(_) => Self::CUES,
            EventKind::Mark(mark) => match mark.kind {
                MarkKind::Words(_) => Self::WORDS,
                MarkKind::Sign(_) => Self::SIGNS,
                MarkKind::Dynamic(_) => Self::DYNAMICS,
                MarkKind::HairpinStart(_) | MarkKind::HairpinEnd => Self::HAIRPINS,
            },
            EventKind::Key(_) => Self::KEYS,
            EventKind::Meter(_) => Self::METERS,
            EventKind::Tempo(_) => Self::TEMPOS,
            EventKind::Transposition(_) => Self::TRANSPOSITIONS,
            EventKind::Clef(_) => Self::CLEFS,
            EventKind::Witness(..) => Self::WITNESSES,
            EventKind::Section(_) => Self::SECTIONS,
            EventKind::Route(_) => Self::ROUTES,
            EventKind::PageBreak => Self::PAGES,
        }
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use theory::{Key, Pitch, Quarters, Tempo, Transposition, WrittenPitch};

    use super::*;
    use crate::event::{AlterationFrom, Cue, Mark, Note, Rest, Sign, TempoMark};
    use crate::{Bar, Clef, Part, Placed, Run, RunBody, Span, Text, WitnessKind, looked_at};

    const ALL: [Kinds; 17] = [
        Kinds::NOTES,
        Kinds::RESTS,
        Kinds::WORDS,
        Kinds::SIGNS,
        Kinds::DYNAMICS,
        Kinds::HAIRPINS,
        Kinds::KEYS,
        Kinds::METERS,
        Kinds::TEMPOS,
        Kinds::TRANSPOSITIONS,
        Kinds::CLEFS,
        Kinds::WITNESSES,
        Kinds::SECTIONS,
        Kinds::FURTHER,
        Kinds::ROUTES,
        Kinds::CUES,
        Kinds::PAGES,
    ];

    fn note(layer: u8, chord: bool) -> EventKind {
        EventKind::Note(Note {
            written: WrittenPitch(Pitch::from_midi(60, true)),
            sounding: None,
            length: Quarters::ONE,
            alteration_from: AlterationFrom::Nothing,
            pitch_span: Span::default(),
            tied_from: false,
            tied_to: false,
            grace: false,
            chord,
            slurred_to_next: false,
            layer,
        })
    }

    fn rest(layer: u8) -> EventKind {
        EventKind::Rest(Rest {
            length: Quarters::ONE,
            visible: true,
            whole_bar: false,
            layer,
        })
    }

    /// Each event with the kinds it is of.
    fn events() -> Vec<(EventKind, Kinds)> {
        let mark = |kind| {
            EventKind::Mark(Mark {
                kind,
                on_note: true,
            })
        };
        let tempo = TempoMark {
            words: None,
            tempo: Some(Tempo::quarters_a_minute(60.0)),
        };
        let cue = Cue {
            written: None,
            length: Quarters::ONE,
            signed: false,
            tied_to: false,
        };
        vec![
            (note(0, false), Kinds::NOTES),
            (note(0, true), Kinds::NOTES.and(Kinds::FURTHER)),
            (note(1, false), Kinds::NOTES.and(Kinds::FURTHER)),
            (rest(0), Kinds::RESTS),
            (rest(1), Kinds::RESTS.and(Kinds::FURTHER)),
            (mark(MarkKind::Words(Text::default())), Kinds::WORDS),
            (mark(MarkKind::Sign(Sign::Plus)), Kinds::SIGNS),
            (mark(MarkKind::Dynamic("p".to_owned())), Kinds::DYNAMICS),
            (mark(MarkKind::HairpinStart(true)), Kinds::HAIRPINS),
            (mark(MarkKind::HairpinEnd), Kinds::HAIRPINS),
            (EventKind::Key(Key::NONE), Kinds::KEYS),
            (EventKind::Meter(None), Kinds::METERS),
            (EventKind::Tempo(tempo), Kinds::TEMPOS),
            (
                EventKind::Transposition(Transposition(theory::Interval::from_semitones(-7))),
                Kinds::TRANSPOSITIONS,
            ),
            (EventKind::Clef(Clef::TREBLE), Kinds::CLEFS),
            (
                EventKind::Witness(WitnessKind::Name, "Horn".to_owned()),
                Kinds::WITNESSES,
            ),
            (EventKind::Section("A".to_owned()), Kinds::SECTIONS),
            (EventKind::Route(crate::Route::Fine), Kinds::ROUTES),
            (EventKind::Cue(cue), Kinds::CUES),
            (EventKind::PageBreak, Kinds::PAGES),
        ]
    }

    fn run(kinds: impl Iterator<Item = EventKind>, base: usize) -> Run {
        let events = kinds.map(|kind| Event {
            offset: Quarters::ONE,
            span: Span::new(1, 2),
            kind,
        });
        Run {
            base,
            body: Arc::new(RunBody::new(events.collect(), 9)),
        }
    }

    /// Bars of one event, of two runs, of none and of all.
    fn part() -> Part {
        let mut runs: Vec<Vec<Run>> = Vec::new();
        for (at, (kind, _)) in events().into_iter().enumerate() {
            runs.push(vec![run([kind].into_iter(), at)]);
        }
        let all = || events().into_iter().map(|(kind, _)| kind);
        runs.push(vec![run(all().take(7), 40), run(all().skip(7), 50)]);
        runs.push(Vec::new());
        runs.push(vec![run(all(), 60)]);
        let bars = runs.into_iter().enumerate().map(|(at, runs)| Bar {
            number: at as u32,
            onset: Quarters::whole(4 * at as i64),
            length: Quarters::whole(4),
            meter: None,
            runs: runs.into(),
            close: None,
        });
        Part {
            bars: bars.collect(),
            ..Part::default()
        }
    }

    #[test]
    fn every_event_is_of_its_kinds_and_a_run_of_all_its_events() {
        for (kind, kinds) in events() {
            let run = run([kind.clone()].into_iter(), 0);
            for one in ALL {
                assert_eq!(run.body.holds().meets(one), kinds.meets(one), "{kind:?}");
            }
        }
        let all = run(events().into_iter().map(|(kind, _)| kind), 0);
        assert!(ALL.iter().all(|one| all.body.holds().meets(*one)));
        assert!(!ALL.iter().any(|one| Kinds::NONE.meets(*one)));
    }

    #[test]
    fn what_is_looked_for_is_found_where_it_stands() {
        let part = part();
        let place = |(at, placed): (usize, Placed<'_>)| {
            (
                at,
                placed.bar,
                placed.onset,
                placed.span(),
                placed.event.clone(),
            )
        };
        let mut found = 0;
        for one in ALL {
            for other in ALL {
                let kinds = one.and(other);
                let wanted =
                    |(_, placed): &(usize, Placed<'_>)| Kinds::of(placed.event).meets(kinds);
                let every = part.events().enumerate().filter(wanted).map(place);
                let every: Vec<_> = every.collect();
                let of: Vec<_> = part.placed_of(kinds).map(place).collect();
                assert_eq!(of, every);
                assert_eq!(part.events_of(kinds).count(), every.len());
                found += every.len();
            }
        }
        println!("{found} events");
        assert!(found > 1_000);
        let holds = |bar: &&Bar| bar.holds(Kinds::KEYS);
        assert_eq!(part.bars.iter().filter(holds).count(), 3);
    }

    #[test]
    #[cfg(debug_assertions)]
    fn runs_without_it_are_passed_over() {
        let part = part();
        let before = looked_at();
        assert_eq!(part.events_of(Kinds::TEMPOS).count(), 3);
        // The bar of one event, the second run of two, and the bar of all.
        assert_eq!(looked_at() - before, 1 + 13 + 20);
    }
}
