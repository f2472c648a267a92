//! What else sounds while a horn's note is begun: who plays, how much of it, and which harmony it makes.

mod cue;
mod loudness;
mod moments;
mod sounds;

use std::sync::OnceLock;

use horn::{Beside, Dynamic, Family, Loudness};
use theory::Quarters;

use crate::note::PlayedNote;
use crate::part::{HornPart, label};
use crate::piece::PieceReading;
use crate::technique::{Hand, Mute};

pub use cue::Cue;
use loudness::Curve;
pub(crate) use moments::Moments;
use moments::{Moment, Voice};
use sounds::Sound;

/// What sounds around a note at its attack.
#[derive(Debug, Clone, PartialEq)]
pub struct Around<'a> {
    moment: Option<&'a Moment>,
    part: usize,
    midi: i32,
    /// How many notes its own staff sounds.
    pub on_staff: usize,
    /// How loud the note is marked; `None` where nothing says so.
    pub loudness: Option<Loudness>,
    /// When its part was last marked, in quarter notes from the start of the piece.
    pub marked: Option<Quarters>,
    /// What the note itself carries, with all horns that play it in unison, in units of one woodwind instrument in
    /// piano; `None` where nothing says how loud it is.
    pub own: Option<f64>,
}

/// Another part that sounds at a moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Playing {
    /// The part, by its place in the piece.
    pub part: usize,
    /// What it is for, where its name or a sign says so.
    pub instrument: Option<Beside>,
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
    curve: Curve,
}

impl PieceReading {
    /// What sounds around a note that is played from a horn's staff.
    #[must_use]
    pub fn around(&self, horn: &HornPart, note: &PlayedNote) -> Around<'_> {
        let moments = self.orchestra.moments.get_or_init(|| Moments::of(self));
        let mut around = Around {
            moment: moments.at(note.onset),
            part: horn.seat.part,
            midi: note.sounding.midi(),
            on_staff: 0,
            loudness: None,
            marked: None,
            own: None,
        };
        let closed = note.technique.hand != Hand::Open || note.technique.mute != Mute::Out;
        let most = Loudness::of(horn::loudest_closed().value).0;
        let voice = around.moment.and_then(|moment| moment.voice(around.part));
        around.on_staff = voice.map_or(0, Voice::notes);
        let own = voice.and_then(|voice| voice.loudness);
        around.loudness = own.map(|(loudness, _)| loudness);
        around.marked = own.map(|(_, marked)| marked);
        around.own = around.loudness.map(|loudness| {
            let heard = if closed {
                loudness.0.min(most)
            } else {
                loudness.0
            };
            let players = note.players.count().max(1) as f64;
            let with = around
                .others()
                .filter(|other| other.unison && other.instrument == Some(Beside::Horn));
            Family::Horns.force(Loudness(heard)) * players
                + with.filter_map(|other| other.force).sum::<f64>()
        });
        around
    }

    /// What each part plays, by its place in the piece.
    fn lines(&self) -> &[Line] {
        self.orchestra.lines.get_or_init(|| {
            let parts = self.piece.parts.iter().enumerate();
            let line = |(index, part)| Line {
                sounds: match self.horn(index) {
                    Some(horn) => sounds::of_horn(horn),
                    None => sounds::of_other(part),
                },
                curve: Curve::of(part),
            };
            parts.map(line).collect()
        })
    }

    /// What a part is for, where its name or a sign for programs says so.
    #[must_use]
    pub fn instrument(&self, part: usize) -> Option<Beside> {
        if self.horn(part).is_some() {
            return Some(Beside::Horn);
        }
        self.piece.parts.get(part).and_then(sounds::instrument)
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
    /// The other parts that sound, in score order.
    pub fn others(&self) -> impl Iterator<Item = Playing> {
        let playing = self.moment.map_or(&[][..], |moment| &moment.playing);
        let others = playing.iter().filter(|playing| playing.part != self.part);
        others.map(|playing| playing.beside(self.midi))
    }

    /// The other parts that are heard against the note: all but horns that play it too.
    pub fn against(&self) -> impl Iterator<Item = Playing> {
        self.others()
            .filter(|other| !(other.unison && other.instrument == Some(Beside::Horn)))
    }

    /// The pitch classes that sound, the note's own among them.
    #[must_use]
    pub fn harmony(&self) -> Harmony {
        self.moment.map(|moment| moment.harmony).unwrap_or_default()
    }
}

/// The loudness of a mark that holds on; an accent passes, and what comes after a soft letter lasts.
fn lasting(letters: &str) -> Option<Dynamic> {
    let accent = letters.starts_with(['s', 'r']) || letters == "fz" || letters == "ffz";
    Dynamic::read(letters).filter(|dynamic| !(accent && dynamic.is_loud()))
}
