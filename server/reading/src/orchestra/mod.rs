//! What else sounds while a horn's note is begun: who plays, how much of it, and which harmony it makes.

mod cue;
mod cue_notes;
mod loudness;
mod moments;
mod sounds;

use std::sync::OnceLock;

use horn::{CueNames, CuedPart, Family, Language, Loudness, OrchestraInstrument};
use theory::Quarters;

use crate::note::PlayedNote;
use crate::part::{HornPart, label};
use crate::piece::PieceReading;
use crate::technique::{Hand, Mute};

pub use cue::Cue;
pub use cue_notes::{CueLine, NotShown};
pub(crate) use loudness::Curve;
pub(crate) use moments::Moments;
use moments::{Moment, Voice};
use sounds::Sound;

/// What sounds around a note at its attack.
#[derive(Debug, Clone, PartialEq)]
pub struct Around<'a> {
    moment: Option<&'a Moment>,
    part: usize,
    midi: i32,
    /// Whether hand or mute close the bell.
    closed: bool,
    /// How many play the note from its staff.
    players: usize,
    /// How many notes its own staff sounds.
    pub on_staff: usize,
    /// How loud the note is marked; `None` where nothing says so.
    pub loudness: Option<Loudness>,
    /// When its part was last marked, in quarter notes from the start of the piece.
    pub marked: Option<Quarters>,
}

/// Another part that sounds at a moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Playing {
    /// The part, by its place in the piece.
    pub part: usize,
    /// What it is for, where its name or a sign says so.
    pub instrument: Option<OrchestraInstrument>,
    /// How loud it is; `None` where nothing says so.
    pub loudness: Option<Loudness>,
    /// What it carries, in units of one woodwind instrument in piano.
    pub force: Option<f64>,
    /// How many notes it sounds.
    pub sounds: usize,
    /// Whether it plays the note itself.
    pub unison: bool,
    /// Whether one of its sounds is the note itself in any octave.
    pub same_class: bool,
    /// Whether its sound begins with the note.
    pub begins: bool,
}

impl Playing {
    /// Whether it is a horn that plays the note too.
    fn is_with(&self) -> bool {
        self.unison && self.instrument == Some(OrchestraInstrument::Horn)
    }
}

/// Pitch classes that sound together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Harmony(u16);

impl Harmony {
    /// Whether a sound belongs to it, in whatever octave; by its MIDI number.
    #[must_use]
    pub const fn has(self, midi: i32) -> bool {
        self.0 & (1 << midi.rem_euclid(12)) != 0
    }

    /// How many pitch classes sound.
    #[must_use]
    pub const fn notes(self) -> u32 {
        self.0.count_ones()
    }
}

/// What sounds whenever a horn's note begins, worked out when it is first asked for.
///
/// It follows from the rest of the reading, so that readings are equal whether or not anybody has asked.
#[derive(Debug, Clone, Default)]
pub(crate) struct Orchestra {
    moments: OnceLock<Moments>,
    cue_names: OnceLock<CueNames>,
    lines: OnceLock<Vec<Line>>,
}

impl PartialEq for Orchestra {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

/// What a part plays, and how loud.
#[derive(Debug, Clone)]
struct Line {
    sounds: Vec<Sound>,
    /// How long the longest of them lasts.
    longest: Quarters,
    curve: Curve,
}

impl PieceReading {
    /// What sounds around a note that is played from a horn's staff.
    #[must_use]
    pub fn around(&self, horn: &HornPart, note: &PlayedNote) -> Around<'_> {
        let moments = self.orchestra.moments.get_or_init(|| Moments::of(self));
        let moment = moments.at(note.onset);
        let voice = moment.and_then(|moment| moment.voice(horn.seat.part));
        let own = voice.and_then(|voice| voice.loudness);
        Around {
            moment,
            part: horn.seat.part,
            midi: note.sounding.midi(),
            closed: note.technique.hand != Hand::Open || note.technique.mute != Mute::Out,
            players: note.players.count().max(1),
            on_staff: voice.map_or(0, Voice::notes),
            loudness: own.map(|(loudness, _)| loudness),
            marked: own.map(|(_, marked)| marked),
        }
    }

    /// What each part plays, by its place in the piece.
    fn lines(&self) -> &[Line] {
        self.orchestra.lines.get_or_init(|| {
            let parts = self.piece.parts.iter().enumerate();
            let line = |(index, part)| {
                let sounds = match self.horn(index) {
                    Some(horn) => sounds::of_horn(horn),
                    None => sounds::of_other(part),
                };
                let lengths = sounds.iter().map(|sound| sound.end - sound.onset);
                Line {
                    longest: lengths.max().unwrap_or(Quarters::ZERO),
                    sounds,
                    curve: Curve::of(part),
                }
            };
            parts.map(line).collect()
        })
    }

    /// What a part is for, where its name or a sign for programs says so.
    #[must_use]
    pub fn instrument(&self, part: usize) -> Option<OrchestraInstrument> {
        if self.horn(part).is_some() {
            return Some(OrchestraInstrument::Horn);
        }
        self.piece.parts.get(part).and_then(sounds::instrument)
    }

    /// Whether any part is for an instrument of a family.
    #[must_use]
    pub fn has(&self, family: Family) -> bool {
        let mut parts = 0..self.piece.parts.len();
        parts.any(|part| {
            self.instrument(part)
                .is_some_and(|it| it.family() == family)
        })
    }

    /// What a cue calls a part, by its place in the piece, in a language.
    #[must_use]
    pub fn cue_name(&self, part: usize, language: Option<Language>) -> Option<String> {
        let names = self.orchestra.cue_names.get_or_init(|| {
            let parts = self.piece.parts.iter().enumerate();
            let parts: Vec<CuedPart<'_>> = parts
                .map(|(place, part)| CuedPart {
                    name: part.name.as_ref().map(|name| name.text.as_str()),
                    instrument: self.instrument(place),
                })
                .collect();
            CueNames::of(&parts)
        });
        names.name(part, language)
    }

    /// What to call a part in a message: its name, or `part 1`.
    #[must_use]
    pub fn label(&self, part: usize) -> String {
        self.piece.parts.get(part).map(label).unwrap_or_default()
    }

    /// The horn part at a place in the piece.
    #[must_use]
    pub fn horn(&self, part: usize) -> Option<&HornPart> {
        let place = self
            .horns
            .binary_search_by_key(&part, |horn| horn.seat.part);
        place.ok().and_then(|place| self.horns.get(place))
    }
}

impl Around<'_> {
    /// What the note itself carries, with all horns that play it in unison, in units of one woodwind instrument in
    /// piano; `None` where nothing says how loud it is.
    #[must_use]
    pub fn own(&self) -> Option<f64> {
        let mut heard = self.loudness?.0;
        if self.closed {
            heard = heard.min(Loudness::of(horn::loudest_closed().value).0);
        }
        let own = Family::Horns.force(Loudness(heard)) * self.players as f64;
        let with = self.others().filter(Playing::is_with);
        Some(own + with.filter_map(|other| other.force).sum::<f64>())
    }

    /// The same, had the note been marked so many degrees louder.
    #[must_use]
    pub fn louder(self, degrees: f64) -> Self {
        let loudness = self.loudness.map(|marked| Loudness(marked.0 + degrees));
        Self { loudness, ..self }
    }

    /// The other parts that sound, in score order.
    pub fn others(&self) -> impl Iterator<Item = Playing> {
        let playing = self.moment.map_or(&[][..], |moment| &moment.playing);
        let others = playing.iter().filter(|playing| playing.part != self.part);
        others.map(|playing| playing.seen_from(self.midi))
    }

    /// The other parts that are heard against the note: all but horns that play it too.
    pub fn against(&self) -> impl Iterator<Item = Playing> {
        self.others().filter(|other| !other.is_with())
    }

    /// The pitch classes that sound, the note's own among them.
    #[must_use]
    pub fn harmony(&self) -> Harmony {
        self.moment.map(|moment| moment.harmony).unwrap_or_default()
    }
}
