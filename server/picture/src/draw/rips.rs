//! Slides from one note to the next, and the partials that a rip brushes on its way, each where it lies.

use std::collections::HashMap;
use std::io;

use score::Sign;
use theory::{Pitch, SoundingPitch};

use super::{Scene, Seen, y_of};
use crate::glyph::SPACE;
use crate::ink::Ink;
use crate::layout::columns::head_width;
use crate::sheet::Tag;
use crate::staff::clefs;
use crate::subject::Pitched;

/// The least room for the line of a rip.
const LEAST: f64 = 1.0 * SPACE;

pub(super) fn draw(ink: &mut Ink<'_>, scene: &Scene<'_, '_>) -> io::Result<()> {
    let seen: Vec<Seen<'_, '_>> = scene
        .chords()
        .filter(|seen| !seen.chord.is_rest())
        .collect();
    // The first and the last chord of each note: a length may take several.
    let mut of: HashMap<usize, (&Seen<'_, '_>, &Seen<'_, '_>)> = HashMap::new();
    for chord in &seen {
        for note in chord.chord.heads.iter().filter_map(|head| head.note) {
            of.entry(note).or_insert((chord, chord)).1 = chord;
        }
    }
    let mut drawn = Vec::new();
    for (rip, from, to) in scene.subject.horn.sounding_rips() {
        let (Some((_, left)), Some((right, _))) = (of.get(&rip.from), of.get(&rip.to)) else {
            continue;
        };
        let way = horn::rips(scene.subject.horn.seat.instrument, from.height, to.height)
            .into_iter()
            .next();
        let brushed = way.map(horn::Rip::between).unwrap_or_default();
        let (start, end) = line(ink, scene, left, right)?;
        drawn.push(left.at);
        let steps = brushed.len() as f64 + 1.0;
        for (number, partial) in (1_u32..).zip(&brushed) {
            let sound = partial.height().sound();
            let pitch = match scene.options.pitch {
                Pitched::Written => written(scene, sound, to.onset),
                Pitched::Sounding => sound.0,
            };
            let clef = scene
                .laid
                .get(right.at.0)
                .map_or(score::Clef::TREBLE, |laid| laid.clef);
            let x = start.0 + (end.0 - start.0) * f64::from(number) / steps;
            let y = y_of(pitch.staff_steps() - clefs::middle(clef));
            let dot = Tag::new("circle").word("class", "partial");
            ink.sheet()
                .empty(dot.numbers([("cx", x), ("cy", y), ("r", 1.6)]))?;
        }
    }
    // A slide that is no rip is a line alone.
    for pair in seen.windows(2) {
        let [left, right] = pair else { continue };
        let slides = left
            .chord
            .signs
            .iter()
            .any(|sign| matches!(sign, Sign::Glissando));
        if slides && !drawn.contains(&left.at) {
            line(ink, scene, left, right)?;
        }
    }
    Ok(())
}

/// The line from the heads of one chord to those of another; gives back its ends.
fn line(
    ink: &mut Ink<'_>,
    scene: &Scene<'_, '_>,
    left: &Seen<'_, '_>,
    right: &Seen<'_, '_>,
) -> io::Result<((f64, f64), (f64, f64))> {
    let y = |seen: &Seen<'_, '_>| seen.chord.reach().map_or(0.0, |(_, high)| y_of(high));
    let signs = scene.column(right).into_iter();
    let signs = signs.flat_map(|column| column.accidentals.iter());
    let signs = signs.filter(|(chord, ..)| *chord == right.at.2);
    let before = signs.map(|(.., before)| right.x - before);
    let ink_before = before.fold(right.heads(), f64::min) - 0.4 * SPACE;
    let from = (left.heads() + head_width(left.chord) + 0.3 * SPACE).min(ink_before - LEAST);
    let (start, end) = ((from, y(left)), (ink_before, y(right)));
    ink.line("rip", start, end)?;
    Ok((start, end))
}

/// A sound on this part's page.
fn written(scene: &Scene<'_, '_>, sound: SoundingPitch, at: theory::Quarters) -> Pitch {
    let crook = scene.subject.horn.crook_at(at);
    crook.transposition.write(sound).0
}
