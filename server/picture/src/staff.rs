//! The axis of pitch: staff lines, ledger lines, and the registers as bands behind them.

use std::io;

use horn::{Height, Register};
use reading::{HornPart, PlayedNote};
use score::{Clef, ClefKind};
use theory::{Letter, Pitch, Quarters, SoundingPitch, WrittenPitch};

use crate::sheet::{Sheet, Tag};
use crate::subject::Pitched;

/// Units for a diatonic step; a staff space is two.
pub(crate) const STEP: f64 = 3.6;
/// Steps kept free above and below what is played.
const MARGIN: i32 = 2;

/// The pitches that one system shows.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Staff {
    /// Diatonic steps above C0 of the highest and lowest place.
    high: i32,
    low: i32,
    /// The clefs whose lines are drawn.
    clefs: Vec<Clef>,
    /// Where the highest place lies.
    pub(crate) top: f64,
}

impl Staff {
    /// A staff for these notes, its highest place at `top`.
    pub(crate) fn of<'a>(
        notes: impl Iterator<Item = &'a PlayedNote>,
        pitched: Pitched,
        top: f64,
    ) -> Self {
        let mut staff = Self {
            high: i32::MIN,
            low: i32::MAX,
            clefs: Vec::new(),
            top,
        };
        for note in notes {
            let step = pitched.of(note).staff_steps();
            staff.high = staff.high.max(step);
            staff.low = staff.low.min(step);
            staff.show(clef_of(note, pitched));
        }
        if staff.clefs.is_empty() {
            staff.show(Clef::TREBLE);
        }
        staff.high += MARGIN;
        staff.low -= MARGIN;
        staff
    }

    fn show(&mut self, clef: Clef) {
        if self.clefs.iter().any(|known| known.kind == clef.kind) {
            return;
        }
        let middle = middle_of(clef);
        self.high = self.high.max(middle + 4);
        self.low = self.low.min(middle - 4);
        self.clefs.push(clef);
    }

    /// How high it stands.
    pub(crate) fn height(&self) -> f64 {
        f64::from(self.high - self.low) * STEP
    }

    /// Where a diatonic step lies.
    pub(crate) fn y(&self, step: i32) -> f64 {
        self.top + f64::from(self.high - step) * STEP
    }

    /// The lines of every clef, from one place to another.
    pub(crate) fn lines(&self, sheet: &mut Sheet, from: f64, to: f64) -> io::Result<()> {
        let lines = self.clefs.iter().flat_map(|clef| {
            let middle = middle_of(*clef);
            [-4, -2, 0, 2, 4].map(|away| middle + away)
        });
        for step in lines {
            let y = self.y(step);
            let line = Tag::new("line").word("class", "line");
            sheet.empty(line.numbers([("x1", from), ("x2", to), ("y1", y), ("y2", y)]))?;
        }
        Ok(())
    }

    /// The names of the Cs and Gs, before the staff.
    pub(crate) fn names(&self, sheet: &mut Sheet, right: f64) -> io::Result<()> {
        for step in self.low..=self.high {
            let pitch = natural(step);
            if matches!(pitch.letter, Letter::C | Letter::G) {
                let at = Tag::new("text").word("class", "pitch");
                let at = at.numbers([("x", right), ("y", self.y(step) + 2.4)]);
                sheet.text(at, &pitch.to_string())?;
            }
        }
        Ok(())
    }

    /// The ledger lines that a note needs, as wide as it sounds.
    pub(crate) fn ledgers(
        &self,
        sheet: &mut Sheet,
        note: &PlayedNote,
        pitched: Pitched,
        (from, to): (f64, f64),
    ) -> io::Result<()> {
        let step = pitched.of(note).staff_steps();
        let middle = middle_of(clef_of(note, pitched));
        let beyond = (middle + 6..=step).step_by(2);
        let below = (step..=middle - 6).filter(|line| (middle - line) % 2 == 0);
        for line in beyond.chain(below) {
            let y = self.y(line);
            let tag = Tag::new("line").word("class", "line");
            sheet.empty(tag.numbers([
                ("x1", from - 2.5),
                ("x2", to + 2.5),
                ("y1", y),
                ("y2", y),
            ]))?;
        }
        Ok(())
    }

    /// The registers as bands, from one place to another, as the crook in force at a moment lays them.
    pub(crate) fn bands(
        &self,
        sheet: &mut Sheet,
        horn: &HornPart,
        pitched: Pitched,
        at: Quarters,
        (from, to): (f64, f64),
        label: Option<f64>,
    ) -> io::Result<()> {
        let mut high = self.high;
        while high >= self.low {
            let register = register_at(high, horn, pitched, at);
            let mut low = high;
            while low > self.low && register_at(low - 1, horn, pitched, at) == register {
                low -= 1;
            }
            // Each step owns the half steps around it.
            let (top, foot) = (self.y(high) - STEP / 2.0, self.y(low) + STEP / 2.0);
            let class = format!("band b-{}", class(register));
            let band = Tag::new("rect").word("class", &class);
            let band = band.numbers([("x", from), ("width", to - from), ("y", top)]);
            sheet.empty(band.number("height", foot - top))?;
            if let Some(x) = label.filter(|_| foot - top >= STEP * 2.0) {
                let text = Tag::new("text").word("class", "register");
                let text = text.numbers([("x", x), ("y", (top + foot) / 2.0 + 2.4)]);
                sheet.text(text, short_name(register))?;
            }
            high = low - 1;
        }
        Ok(())
    }
}

/// The clef a note is read in; what sounds is no page, so the nearer of the usual two is taken.
fn clef_of(note: &PlayedNote, pitched: Pitched) -> Clef {
    const MIDDLE_C: i32 = 28;
    let bass = Clef {
        kind: ClefKind::Bass,
        octaves: 0,
    };
    match pitched {
        Pitched::Written if note.clef.middle_line().is_some() => note.clef,
        Pitched::Sounding if note.sounding.0.staff_steps() < MIDDLE_C => bass,
        Pitched::Written | Pitched::Sounding => Clef::TREBLE,
    }
}

fn middle_of(clef: Clef) -> i32 {
    const B4: i32 = 34;
    clef.middle_line().unwrap_or(B4)
}

fn natural(step: i32) -> Pitch {
    let octave = i8::try_from(step.div_euclid(7)).unwrap_or(i8::MAX);
    Pitch::new(Letter::from_steps(step.rem_euclid(7)), 0, octave)
}

fn register_at(step: i32, horn: &HornPart, pitched: Pitched, at: Quarters) -> Register {
    let sound = match pitched {
        Pitched::Written => horn
            .crook_at(at)
            .transposition
            .sound(WrittenPitch(natural(step))),
        Pitched::Sounding => SoundingPitch(natural(step)),
    };
    horn::register(Height::of(sound))
}

/// How a register is called in style sheets.
pub(crate) const fn class(register: Register) -> &'static str {
    match register {
        Register::Pedal => "pedal",
        Register::Low => "low",
        Register::MiddleLow => "middle-low",
        Register::Middle => "middle",
        Register::High => "high",
        Register::Top => "top",
        Register::Beyond => "beyond",
    }
}

/// A register's name where there is little room.
pub(crate) fn short_name(register: Register) -> &'static str {
    match register {
        Register::Beyond => "beyond",
        _ => {
            let name = register.name();
            name.strip_suffix(" register").unwrap_or(name)
        }
    }
}
