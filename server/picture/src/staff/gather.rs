//! Gathering a part's bars into measures of chords, as its page or its sound shows them.

use std::collections::{BTreeMap, HashMap};

use score::{AlterationFrom, Bar, Clef, Cue, EventKind, Mark, MarkKind, Note, Placed, Span};
use theory::{Key, Pitch, Quarters, WrittenPitch};

use super::directions::{common, run_on, share_out};
use super::gathered::Gathered;
use super::{Change, Chord, Close, Column, Direction, Head, Measure, Says, Small, Sounding};
use super::{accidentals, beams, clefs, tuplets};
use crate::subject::{Pitched, Subject};
use crate::value::values;

/// What stands at the start of the first line.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Start {
    pub(crate) clef: Clef,
    pub(crate) key: Key,
}

/// A part's staff from its first bar to its last.
pub(crate) fn gather<'a>(subject: &Subject<'a>, pitched: Pitched) -> (Start, Vec<Measure<'a>>) {
    let Some(part) = subject.reading.piece.parts.get(subject.horn.seat.part) else {
        let nothing = Start {
            clef: Clef::TREBLE,
            key: Key::NONE,
        };
        return (nothing, Vec::new());
    };
    let mut state = State::of(subject, pitched);
    let key = state.key;
    let mut measures: Vec<Measure<'a>> = Vec::with_capacity(part.bars.len());
    for (index, bar) in part.bars.iter().enumerate() {
        let measure = state.measure(index, bar, measures.last());
        if let Some(last) = measures.last_mut() {
            last.ending_ends = state.ending_ended;
        }
        measures.push(measure);
    }
    let clef = clefs::set(&mut measures, pitched, part.clef.unwrap_or(Clef::TREBLE));
    let start = Start { clef, key };
    share_out(&mut measures, common(subject, part));
    accidentals::set(&mut measures, key);
    let mut drawn: Vec<Measure<'a>> = Vec::with_capacity(measures.len());
    for mut measure in measures {
        if let Some(last) = drawn.last_mut().filter(|last| rests_on(last, &measure)) {
            last.bars += 1;
            last.length += measure.length;
            last.close = measure.close;
            last.ending_ends = measure.ending_ends;
            continue;
        }
        measure.beams = beams::groups(&measure);
        measure.tuplets = tuplets::groups(&measure);
        drawn.push(measure);
    }
    run_on(&mut drawn);
    (start, drawn)
}

/// Whether a bar's rest is drawn together with the rest before it.
fn rests_on(last: &Measure<'_>, next: &Measure<'_>) -> bool {
    let silent = |measure: &Measure<'_>| {
        let chords = || measure.columns.iter().flat_map(|column| &column.chords);
        let whole = |chord: &Chord<'_>| {
            matches!(
                chord.sounding,
                Sounding::Rest { whole_bar: true } | Sounding::Nothing
            )
        };
        measure.columns.iter().all(|column| column.cues.is_empty())
            && chords()
                .all(|chord| whole(chord) && chord.signs.is_empty() && chord.graces.is_empty())
    };
    let changes = next.columns.iter().any(|column| !column.change.is_none());
    silent(last)
        && silent(next)
        && !changes
        && next.directions.is_empty()
        && next.ending.is_none()
        && !next.repeat_start
        && last.close == Close::Single
        && !last.ending_ends
}

/// What holds while the bars are gathered.
struct State<'a, 's> {
    subject: &'s Subject<'a>,
    pitched: Pitched,
    notes: HashMap<Span, usize>,
    key: Key,
    /// Whether an ending holds, and whether it ended before the bar gathered last.
    in_ending: bool,
    ending_ended: bool,
}

impl<'a, 's> State<'a, 's> {
    fn of(subject: &'s Subject<'a>, pitched: Pitched) -> Self {
        let notes = subject.horn.notes.iter().enumerate();
        let mut state = Self {
            subject,
            pitched,
            notes: notes.map(|(index, note)| (note.span, index)).collect(),
            key: Key::NONE,
            in_ending: false,
            ending_ended: false,
        };
        state.key = state.key_at(Quarters::ZERO);
        state
    }

    fn key_at(&self, onset: Quarters) -> Key {
        let keys = self.subject.horn.keys.iter();
        let written = keys.take_while(|(from, ..)| *from <= onset).last();
        let written = written.map_or(Key::NONE, |(_, key, _)| *key);
        match self.pitched {
            Pitched::Written => written,
            Pitched::Sounding => {
                let crook = self.subject.horn.crook_at(onset);
                theory::moved_signature(&written, crook.transposition.0).unwrap_or(Key::NONE)
            }
        }
    }

    fn measure(&mut self, index: usize, bar: &'a Bar, before: Option<&Measure<'a>>) -> Measure<'a> {
        let mut gathered = Gathered {
            columns: BTreeMap::new(),
            directions: Vec::new(),
            signs: Vec::new(),
            graces: Vec::new(),
            last: None,
        };
        gathered.columns.entry(Quarters::ZERO).or_default();
        // A rest as long as an upbeat is a rest of its value.
        let full = bar
            .meter
            .map_or(bar.length, |meter| meter.bar().max(bar.length));
        for placed in bar.events(index) {
            self.event(&mut gathered, &placed, full);
        }
        gathered.end(bar.length);
        let meter = bar.meter;
        let changed = meter.filter(|_| before.is_none_or(|before| before.meter != meter));
        if let Some(mut first) = gathered.columns.first_entry() {
            first.get_mut().change.meter = changed;
        }
        self.change_keys(bar, &mut gathered);
        let mut columns: Vec<Column<'a>> = gathered
            .columns
            .into_iter()
            .map(|(offset, column)| Column { offset, ..column })
            .collect();
        for column in &mut columns {
            column.chords.sort_by_key(|chord| chord.layer);
        }
        let opened = before.is_some_and(|_| {
            self.subject_bar(index.wrapping_sub(1))
                .and_then(|bar| bar.close.as_ref())
                .is_some_and(|close| close.repeat_start)
        });
        let ending = self.ending(index);
        Measure {
            number: bar.number,
            onset: bar.onset,
            length: bar.length,
            bars: 1,
            meter,
            columns,
            directions: gathered.directions,
            repeat_start: opened,
            close: close(bar),
            ending,
            ..Measure::default()
        }
    }

    fn subject_bar(&self, index: usize) -> Option<&'a Bar> {
        let reading = self.subject.reading;
        let part = reading.piece.parts.get(self.subject.horn.seat.part)?;
        part.bars.get(index)
    }

    /// The ending that the barline before a bar begins, and whether one ends there.
    fn ending(&mut self, index: usize) -> Option<&'a str> {
        let before = index
            .checked_sub(1)
            .and_then(|before| self.subject_bar(before));
        let line = before.and_then(|bar| bar.close.as_ref());
        let begins = line.and_then(|line| line.ending.as_deref());
        let ends = line.is_some_and(|line| line.repeat_end || line.section_end || begins.is_some());
        self.ending_ended = self.in_ending && ends;
        if ends {
            self.in_ending = false;
        }
        self.in_ending |= begins.is_some();
        begins
    }

    /// Signatures that change in a bar.
    fn change_keys(&mut self, bar: &Bar, gathered: &mut Gathered<'a>) {
        for (offset, column) in &mut gathered.columns {
            let key = self.key_at(bar.onset + *offset);
            if key != self.key {
                column.change.key = Some((key, self.key));
                self.key = key;
            }
        }
    }

    fn event(&mut self, gathered: &mut Gathered<'a>, placed: &Placed<'a>, bar: Quarters) {
        let offset = placed.event.offset;
        match &placed.event.kind {
            EventKind::Note(note) => self.note(gathered, placed, note),
            EventKind::Rest(rest) => {
                let sounding = if rest.visible {
                    Sounding::Rest {
                        // Also one written as long as the bar, or as several bars.
                        whole_bar: rest.whole_bar || offset.is_zero() && rest.length >= bar,
                    }
                } else {
                    Sounding::Nothing
                };
                gathered.rest(offset, rest.length, rest.layer, sounding);
            }
            EventKind::Cue(cue) => {
                let small = self.small(placed.onset, cue);
                gathered.columns.entry(offset).or_default().cues.push(small);
            }
            EventKind::Mark(Mark { kind, .. }) => {
                let says = match kind {
                    MarkKind::Sign(sign) => {
                        gathered.signs.push(sign);
                        return;
                    }
                    MarkKind::Words(text) if text.text.trim().is_empty() => return,
                    MarkKind::Words(text) => Says::Words(text.text.trim()),
                    MarkKind::Dynamic(letters) => Says::Dynamic(letters),
                    MarkKind::HairpinStart(growing) => Says::Hairpin(*growing),
                    MarkKind::HairpinEnd => Says::HairpinEnd,
                };
                gathered.directions.push(Direction { offset, says });
            }
            // Clefs are those of the notes, keys those of the reading; tempos and labels may stand in another part.
            EventKind::Key(_)
            | EventKind::Meter(_)
            | EventKind::Clef(_)
            | EventKind::Tempo(_)
            | EventKind::Section(_)
            | EventKind::Route(_)
            | EventKind::Transposition(_)
            | EventKind::Witness(..)
            | EventKind::PageBreak => {}
        }
    }

    fn note(&mut self, gathered: &mut Gathered<'a>, placed: &Placed<'a>, note: &'a Note) {
        let offset = placed.event.offset;
        let index = self.notes.get(&placed.span()).copied();
        let played = index.and_then(|index| self.subject.horn.notes.get(index));
        if let Some(played) = played {
            let column = gathered.columns.entry(offset).or_default();
            column.read_in = column.read_in.or(Some(played.clef));
        }
        let pitch = played.map_or_else(
            || self.unplayed(placed.onset, note),
            |played| self.pitched.of(played),
        );
        let step = pitch.staff_steps();
        let head = Head {
            note: index,
            // Its clef is known when the bars before it are.
            line: 0,
            pitch: (step, pitch.alteration.0),
            marked: note.alteration_from == AlterationFrom::Accidental
                && self.pitched == Pitched::Written,
            accidental: None,
            tied_from: note.tied_from,
            tied_to: note.tied_to,
            first: true,
        };
        if note.grace {
            match gathered.graces.last_mut().filter(|_| note.chord) {
                Some(chord) => chord.push(head),
                None => gathered.graces.push(vec![head]),
            }
            return;
        }
        let breath = played.is_some_and(|played| played.breath.is_some());
        gathered.note(offset, note, head, breath);
    }

    /// A small note; what sounds of it is reckoned as if the horn played it.
    fn small(&self, onset: Quarters, cue: &Cue) -> Small {
        let pitch = cue.written.map(|written| match self.pitched {
            Pitched::Written => written.0,
            Pitched::Sounding => {
                let crook = self.subject.horn.crook_at(onset);
                crook.transposition.sound(written).0
            }
        });
        let signed = match self.pitched {
            Pitched::Written => cue.signed,
            // The signs of the page are not those of the sound.
            Pitched::Sounding => pitch.is_some_and(|pitch| pitch.alteration.0 != 0),
        };
        Small {
            steps: pitch.map(Pitch::staff_steps),
            line: 0,
            accidental: pitch.filter(|_| signed).map(|pitch| pitch.alteration.0),
            value: values(cue.length).and_then(|values| values.first().copied()),
        }
    }

    /// The pitch of a note that no player of the part plays.
    fn unplayed(&self, onset: Quarters, note: &Note) -> Pitch {
        match (self.pitched, note.sounding) {
            (Pitched::Written, _) => note.written.0,
            (Pitched::Sounding, Some(sounding)) => sounding.0,
            (Pitched::Sounding, None) => {
                let crook = self.subject.horn.crook_at(onset);
                let WrittenPitch(written) = note.written;
                crook.transposition.sound(WrittenPitch(written)).0
            }
        }
    }
}

fn close(bar: &Bar) -> Close {
    match &bar.close {
        Some(line) if line.repeat_end => Close::Repeat,
        Some(line) if line.section_end => Close::Double,
        _ => Close::Single,
    }
}

/// What a change shows at the start of a line.
impl Change {
    /// The clef, signature and metre that a first line begins with.
    pub(crate) fn at_start(start: &Start, first: Option<&Measure<'_>>) -> Self {
        Self {
            clef: Some(start.clef),
            key: Some((start.key, Key::NONE)),
            meter: first.and_then(|measure| measure.meter),
        }
    }
}
