//! A line to hold on to as small notes on the page of the horn that waits.

use std::collections::BTreeMap;
use std::fmt;

use horn::Height;
use score::{Clef, CueNote, Event, EventKind, Kinds, Part, Placed};
use theory::{Interval, Quarters, SoundingPitch, WrittenPitch};

use super::cue::Cue;
use crate::note::PlayedNote;
use crate::part::HornPart;
use crate::piece::PieceReading;
use crate::sounding::Sounding;

/// A line as small notes.
#[derive(Debug, Clone, PartialEq)]
pub struct CueLine {
    /// The notes and the rests between them, in the order of time.
    pub notes: Vec<CueNote>,
    /// How many octaves higher they sound than this horn's player would read them.
    pub octaves: i8,
}

/// Why a line cannot be shown as small notes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NotShown {
    /// The horn reads another clef than the treble clef there.
    Clef,
    /// The line lies wider apart than a horn player reads.
    Wide,
    /// No note of it both begins and ends in the rest.
    Nothing,
}

impl fmt::Display for NotShown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Clef => "the horn does not read the treble clef there",
            Self::Wide => "its notes lie too far apart for the horn's staff",
            Self::Nothing => "none of its notes begins and ends in the rest",
        })
    }
}

impl PieceReading {
    /// The line of a cue between two notes of a horn: the highest notes of one voice, from the beginning of the bar in
    /// which it is heard to the entry, moved by octaves where else it would lie off the horn's staff.
    ///
    /// # Errors
    ///
    /// Where it cannot be shown as notes.
    pub fn cue_line(
        &self,
        horn: &HornPart,
        cue: &Cue,
        before: &PlayedNote,
        entry: &PlayedNote,
    ) -> Result<CueLine, NotShown> {
        let (Some(own), Some(other)) = (
            self.piece.parts.get(horn.seat.part),
            self.piece.parts.get(cue.part),
        ) else {
            return Err(NotShown::Nothing);
        };
        let bar = own.bar_at(cue.begins);
        let from = bar.map_or(cue.begins, |(_, bar)| bar.onset);
        let from = from.max(before.onset + before.length);
        let line = line(other, from, entry.onset);
        let (Some(first), Some(last)) = (line.first(), line.last()) else {
            return Err(NotShown::Nothing);
        };
        if reads_other_clef(own, first.0.onset, last.0.onset) {
            return Err(NotShown::Clef);
        }
        let written: Vec<Option<WrittenPitch>> = line
            .iter()
            .map(|(placed, sounding)| {
                let crook = horn.crook_at(placed.onset);
                sounding.map(|sounding| horn.on_page(crook).write(sounding))
            })
            .collect();
        let octaves = octaves(&written).ok_or(NotShown::Wide)?;
        let up = Interval::new(7 * i32::from(octaves), 12 * i32::from(octaves));
        let mut notes: Vec<CueNote> = line
            .iter()
            .zip(&written)
            .map(|((placed, _), written)| CueNote {
                shows: placed.span(),
                onset: placed.onset,
                length: length(placed.event),
                written: written.map(|written| WrittenPitch(written.0.transposed(up).plain())),
                tied_to: matches!(&placed.event.kind, EventKind::Note(note) if note.tied_to),
            })
            .collect();
        // What is held beyond the last small note, or into another, is not held on the page.
        for at in 0..notes.len() {
            let next = notes.get(at + 1).copied();
            let note = &mut notes[at];
            note.tied_to &= next.is_some_and(|next| {
                next.written == note.written && next.onset == note.onset + note.length
            });
        }
        Ok(CueLine {
            notes,
            octaves: -octaves,
        })
    }
}

/// A note or rest of a line, and what sounds.
type Heard<'a> = (Placed<'a>, Option<SoundingPitch>);

/// The voice of a part that sounds longest between two moments: its highest notes, and the rests between them.
fn line(part: &Part, from: Quarters, to: Quarters) -> Vec<Heard<'_>> {
    let first = part
        .bars
        .partition_point(|bar| bar.onset + bar.length <= from);
    let end = part.bars.partition_point(|bar| bar.onset < to);
    let mut sounding = Sounding::before(part, first);
    let mut voices: BTreeMap<u8, Vec<Heard<'_>>> = BTreeMap::new();
    let bars = part.bars.iter().enumerate().take(end).skip(first);
    for placed in bars.flat_map(|(index, bar)| bar.events(index)) {
        let sounds_as = sounding.next(placed.event);
        let whole = from <= placed.onset && placed.onset + length(placed.event) <= to;
        match &placed.event.kind {
            EventKind::Note(note) if whole && !note.grace => {
                let heard = (placed, sounds_as);
                let voice = voices.entry(note.layer).or_default();
                match voice.last_mut() {
                    Some(last) if note.chord && last.0.onset == placed.onset => {
                        if last.1.map(SoundingPitch::midi) < sounds_as.map(SoundingPitch::midi) {
                            *last = heard;
                        }
                    }
                    _ => voice.push(heard),
                }
            }
            // A whole bar's rest is the horn's own.
            EventKind::Rest(rest) if whole && rest.visible && !rest.whole_bar => {
                voices.entry(rest.layer).or_default().push((placed, None));
            }
            _ => {}
        }
    }
    let sounds = |voice: &[Heard<'_>]| -> Quarters {
        let notes = voice.iter().filter(|(_, sounding)| sounding.is_some());
        notes.fold(Quarters::ZERO, |sum, (placed, _)| {
            sum + length(placed.event)
        })
    };
    let longest = voices.into_values().reduce(|best, voice| {
        if sounds(&voice) > sounds(&best) {
            voice
        } else {
            best
        }
    });
    let mut line = longest.unwrap_or_default();
    let is_note = |(_, sounding): &Heard<'_>| sounding.is_some();
    line.truncate(line.iter().rposition(is_note).map_or(0, |last| last + 1));
    line.drain(..line.iter().position(is_note).unwrap_or(0));
    line
}

const fn length(event: &Event) -> Quarters {
    match &event.kind {
        EventKind::Note(note) => note.length,
        EventKind::Rest(rest) => rest.length,
        _ => Quarters::ZERO,
    }
}

/// Whether a part's page has any clef but the treble clef between two moments.
fn reads_other_clef(part: &Part, from: Quarters, to: Quarters) -> bool {
    let mut before = part.clef.unwrap_or(Clef::TREBLE);
    let mut other = false;
    for placed in part.events_of(Kinds::CLEFS) {
        if let EventKind::Clef(clef) = placed.event.kind {
            if placed.onset <= from {
                before = clef;
            } else if placed.onset <= to {
                other |= clef != Clef::TREBLE;
            }
        }
    }
    other || before != Clef::TREBLE
}

/// By how many octaves notes move so that they lie where a player of the horn reads most easily; `None` where they cannot.
fn octaves(notes: &[Option<WrittenPitch>]) -> Option<i8> {
    let (easy, reach) = (horn::cue_heights().value, horn::cue_reach().value);
    let steps = |height: &Height| height.0.0.staff_steps();
    let notes: Vec<i32> = notes
        .iter()
        .flatten()
        .map(|note| note.0.staff_steps())
        .collect();
    let off = |octaves: i8| -> i32 {
        let moved = notes.iter().map(|note| note + 7 * i32::from(octaves));
        moved
            .map(|note| {
                (steps(easy.start()) - note)
                    .max(note - steps(easy.end()))
                    .max(0)
            })
            .sum()
    };
    let fits = |octaves: &i8| {
        notes.iter().all(|note| {
            let note = note + 7 * i32::from(*octaves);
            steps(reach.start()) <= note && note <= steps(reach.end())
        })
    };
    (-3..=3_i8)
        .filter(fits)
        .min_by_key(|octaves| (off(*octaves), octaves.abs()))
}
