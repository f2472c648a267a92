//! Which accidentals must stand once keys or pitches change, so that every note still reads as it is meant.
//!
//! Readers differ in how far an accidental reaches. A note gets one when the reading that is in force would miss it,
//! and also when another common reading got it right in the old text and would not in the new: no reader is worse off
//! than before.

use std::collections::HashMap;

use score::{Bar, Courtesy, EventKind, Part, Span};
use theory::{Key, Letter, Pitch};

/// What is to be otherwise in a part.
pub(crate) struct Change {
    /// What each key becomes, by where it stands in the document.
    pub(crate) keys: HashMap<Span, Key>,
    /// The key before the first that is written.
    pub(crate) start: Key,
    /// The new written pitches by where the old ones stand.
    pub(crate) pitches: HashMap<Span, Pitch>,
    /// Where the pitches stand that are to show an accidental whether or not one is needed.
    pub(crate) signed: Vec<Span>,
    /// Whether accidentals that a new key implies are taken out.
    pub(crate) drop_implied: bool,
    /// Which courtesy accidentals are added.
    pub(crate) courtesy: Courtesy,
    /// Whether those that only remind stand in brackets, where the notation can say so.
    pub(crate) brackets: bool,
}

impl Change {
    /// A change of nothing yet.
    pub(crate) fn nothing() -> Self {
        Self {
            keys: HashMap::new(),
            start: Key::NONE,
            pitches: HashMap::new(),
            signed: Vec::new(),
            drop_implied: false,
            courtesy: Courtesy::Never,
            brackets: false,
        }
    }

    /// The bars of a part that the change can reach; `piece` is where the part's piece begins.
    pub(crate) fn reached(&self, part: &Part, piece: usize) -> Reached {
        let bars = part.bars.len();
        let all = Reached {
            from: 0,
            first: 0,
            end: bars,
        };
        let notes_alone = self.keys.is_empty()
            && self.start == Key::NONE
            && !self.drop_implied
            && self.courtesy == Courtesy::Never;
        if !notes_alone {
            return all;
        }
        let mut places: Vec<Span> = self.pitches.keys().chain(&self.signed).copied().collect();
        places.sort_unstable();
        let touched = |bar: &Bar| {
            bar.span().is_some_and(|span| {
                let span = span.shifted(piece);
                let at = places.partition_point(|place| place.end < span.start);
                places.get(at).is_some_and(|place| place.start <= span.end)
            })
        };
        let (Some(first), Some(last)) = (
            part.bars.iter().position(touched),
            part.bars.iter().rposition(touched),
        ) else {
            return all;
        };
        // What is held over a barline is read on from where it began.
        let holds = |bar: &Bar| {
            let runs = bar.runs.iter().flat_map(|run| &run.body.events);
            runs.into_iter().any(|event| match &event.kind {
                EventKind::Note(note) => note.tied_to,
                _ => false,
            })
        };
        let before = part.bars.get(..first).unwrap_or_default();
        let held = before.iter().rev().take_while(|bar| holds(bar)).count();
        Reached {
            from: first - held,
            first,
            end: bars.min(last + 2),
        }
    }

    /// What a key that stands somewhere becomes.
    fn key(&self, span: Span, old: Key) -> Key {
        self.keys.get(&span).copied().unwrap_or(old)
    }
}

/// The bars of a part that a change can reach, by their places. An accidental holds to the barline, a tie over it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Reached {
    /// The first that must be read, for what is held into the next.
    pub(crate) from: usize,
    /// The first whose notes may come to read otherwise.
    pub(crate) first: usize,
    /// The one after the last of them.
    pub(crate) end: usize,
}

/// How far an accidental reaches within its bar.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Reach {
    /// Its own note only.
    Note,
    /// Its line or space, in its own line of music.
    Octave,
    /// Its line or space, in all lines of music on the staff.
    Staff,
    /// Its letter in every octave.
    Pitch,
}

/// Where an accidental is remembered: line of music, staff, letter, and octave where that matters.
type Place = (u8, usize, Letter, Option<i8>);

/// A line or space of a staff.
type Line = (usize, Letter, i8);

/// A reader of the old and the new text, and the accidentals met in the bar.
struct Reader {
    reach: Reach,
    /// Whether the file itself says that it is read so.
    obeyed: bool,
    old: HashMap<Place, i8>,
    new: HashMap<Place, i8>,
}

impl Reader {
    /// Where an accidental is remembered; `None` when it is not.
    const fn place(&self, seen: &Seen, pitch: Pitch) -> Option<Place> {
        let Pitch { letter, octave, .. } = pitch;
        match self.reach {
            Reach::Note => None,
            Reach::Octave => Some((seen.layer, seen.staff, letter, Some(octave))),
            Reach::Staff => Some((0, seen.staff, letter, Some(octave))),
            Reach::Pitch => Some((seen.layer, seen.staff, letter, None)),
        }
    }

    /// The alteration read in the old text at a note without an accidental.
    fn reads_old(&self, seen: &Seen, key: &Key) -> i8 {
        let met = self
            .place(seen, seen.old)
            .and_then(|place| self.old.get(&place).copied());
        met.unwrap_or_else(|| key.alteration(seen.old.letter).0)
    }

    /// The alteration read in the new text at a note without an accidental.
    fn reads_new(&self, seen: &Seen, key: &Key) -> i8 {
        let met = self
            .place(seen, seen.new)
            .and_then(|place| self.new.get(&place).copied());
        met.unwrap_or_else(|| key.alteration(seen.new.letter).0)
    }

    fn meets(&mut self, seen: &Seen, show: Option<i8>) {
        if let Some((place, sign)) = self.place(seen, seen.old).zip(seen.stands) {
            self.old.insert(place, sign);
        }
        if let Some((place, sign)) = self.place(seen, seen.new).zip(show) {
            self.new.insert(place, sign);
        }
    }
}

/// A note as the page has it.
pub(crate) struct Seen {
    /// Which of several lines of music it belongs to.
    pub(crate) layer: u8,
    /// Its staff.
    pub(crate) staff: usize,
    /// Its pitch on the page before.
    pub(crate) old: Pitch,
    /// Its pitch on the page from now on.
    pub(crate) new: Pitch,
    /// The accidental that it shows.
    pub(crate) stands: Option<i8>,
    /// The alteration that a tie brought it.
    pub(crate) held_old: Option<i8>,
    /// The alteration that a tie brings it from now on.
    pub(crate) held_new: Option<i8>,
    /// Whether every reader is to read it right, however he read it before.
    pub(crate) stated: bool,
    /// Whether it is to show an accidental in any case.
    pub(crate) signed: bool,
}

/// What a note shows from now on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Show {
    /// Its accidental.
    pub(crate) sign: Option<i8>,
    /// Whether that only reminds of what every reader knows.
    pub(crate) reminder: bool,
}

/// The walk through a part with the old text in one hand and the new in the other.
pub(crate) struct Walk<'a> {
    change: &'a Change,
    old_key: Key,
    new_key: Key,
    bar: usize,
    readers: Vec<Reader>,
    /// The last alteration at each line or space, in this bar and in the one before.
    altered: HashMap<Line, i8>,
    altered_before: HashMap<Line, i8>,
}

impl<'a> Walk<'a> {
    /// At the start of a part, with the readings that the file leaves open.
    pub(crate) fn new(change: &'a Change, readings: &[Reach]) -> Self {
        let reader = |reach: &Reach| Reader {
            reach: *reach,
            obeyed: false,
            old: HashMap::new(),
            new: HashMap::new(),
        };
        Self {
            change,
            old_key: Key::NONE,
            new_key: change.start,
            bar: 0,
            readers: readings.iter().map(reader).collect(),
            altered: HashMap::new(),
            altered_before: HashMap::new(),
        }
    }

    /// Has the file say, from here on, how far accidentals reach; the first reading is the one that obeys.
    pub(crate) fn obey(&mut self, reach: Reach) {
        if let Some(reader) = self.readers.first_mut() {
            reader.reach = reach;
            reader.obeyed = true;
        }
    }

    /// Passes a key signature.
    pub(crate) fn key(&mut self, span: Span, key: Key) {
        self.old_key = key;
        self.new_key = self.change.key(span, key);
    }

    /// Enters a bar, by its place in the part. One without a note in between has nothing to remind of.
    pub(crate) fn enter(&mut self, bar: usize) {
        if bar == self.bar {
            return;
        }
        let last = std::mem::take(&mut self.altered);
        self.altered_before = if bar == self.bar + 1 {
            last
        } else {
            HashMap::new()
        };
        self.bar = bar;
        for reader in &mut self.readers {
            reader.old.clear();
            reader.new.clear();
        }
    }

    /// Passes a note: what it is to show.
    pub(crate) fn note(&mut self, seen: &Seen) -> Show {
        let due = self.due(seen);
        let reminder = due.is_none() && (seen.signed || self.courtesy_due(seen));
        let sign = due.or_else(|| reminder.then_some(seen.new.alteration.0));
        for reader in &mut self.readers {
            reader.meets(seen, sign);
        }
        let Pitch { letter, octave, .. } = seen.new;
        self.altered
            .insert((seen.staff, letter, octave), seen.new.alteration.0);
        Show { sign, reminder }
    }

    /// The accidental that is due at a note.
    fn due(&self, seen: &Seen) -> Option<i8> {
        let wanted = seen.new.alteration.0;
        let misread = |reader: &Reader| {
            let held = seen.held_new;
            held.unwrap_or_else(|| reader.reads_new(seen, &self.new_key)) != wanted
        };
        if seen.stands == Some(wanted) {
            let implied = self.new_key.alteration(seen.new.letter).0 == wanted
                && self.old_key.alteration(seen.old.letter).0 != wanted;
            let drop = self.change.drop_implied && implied;
            return (!drop || self.readers.iter().any(misread)).then_some(wanted);
        }
        let was_right = |reader: &Reader| {
            let held = seen.held_old;
            reader.obeyed
                || seen.stated
                || seen.stands.is_some()
                || held.unwrap_or_else(|| reader.reads_old(seen, &self.old_key))
                    == seen.old.alteration.0
        };
        let needed = |reader: &Reader| misread(reader) && was_right(reader);
        self.readers.iter().any(needed).then_some(wanted)
    }

    /// Whether the house wants an accidental that no reading needs.
    fn courtesy_due(&self, seen: &Seen) -> bool {
        let wanted = seen.new.alteration.0;
        let line = (seen.staff, seen.new.letter, seen.new.octave);
        let courtesy = self.change.courtesy;
        let other = |before: &i8| *before != wanted;
        let in_bar_before = || self.altered_before.get(&line).is_some_and(other);
        let in_other_octave = || {
            let mut met = self.altered.iter();
            met.any(|((staff, letter, _), before)| {
                (*staff, *letter) == (seen.staff, seen.new.letter) && other(before)
            })
        };
        seen.held_new != Some(wanted)
            && !self.altered.contains_key(&line)
            && (courtesy.of_bar_before() && in_bar_before()
                || courtesy.of_other_octave() && in_other_octave())
    }
}
