//! Rips: the partials that are brushed on the way, each where it lies.

use std::io;

use theory::{Pitch, SoundingPitch};

use crate::page::System;
use crate::sheet::{Sheet, Tag};
use crate::subject::Pitched;

/// A rip is left late: it takes no more than so much of its first note.
const LATE: f64 = 28.0;

pub(crate) fn draw(sheet: &mut Sheet, system: &System<'_>) -> io::Result<()> {
    let horn = system.subject.horn;
    for (_, from, to) in horn.sounding_rips() {
        if !system.holds(to.starts) {
            continue;
        }
        let end = system.x(to.starts);
        let start = (end - LATE).max(system.x(from.starts));
        let way = horn::rips(horn.seat.instrument, from.height, to.height)
            .into_iter()
            .next();
        let brushed = way.map(horn::Rip::between).unwrap_or_default();
        let line = Tag::new("line").word("class", "rip");
        let y = |pitch: Pitch| system.staff.y(pitch.staff_steps());
        let pitch = |note| system.options.pitch.of(note);
        sheet.empty(line.numbers([
            ("x1", start),
            ("y1", y(pitch(from))),
            ("x2", end),
            ("y2", y(pitch(to))),
        ]))?;
        let steps = brushed.len() as f64 + 1.0;
        for (number, partial) in (1_u32..).zip(&brushed) {
            let sound = partial.height().sound();
            let pitch = match system.options.pitch {
                Pitched::Written => written(system, sound, to.onset),
                Pitched::Sounding => sound.0,
            };
            let x = start + (end - start) * f64::from(number) / steps;
            let dot = Tag::new("circle").word("class", "partial");
            sheet.empty(dot.numbers([("cx", x), ("cy", y(pitch)), ("r", 1.6)]))?;
        }
    }
    Ok(())
}

/// A sound on this part's page.
fn written(system: &System<'_>, sound: SoundingPitch, at: theory::Quarters) -> Pitch {
    let crook = system.subject.horn.crook_at(at);
    crook.transposition.write(sound).0
}
