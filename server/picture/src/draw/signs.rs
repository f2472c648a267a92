//! Signs at notes: articulations beside the heads; hand, trill, fermata and breath above the staff.

use std::collections::HashSet;
use std::io;

use score::{Sign, TrillTo};
use theory::Letter;

use super::beams::Tips;
use super::{Scene, Seen, y_of};
use crate::glyph::{self, Glyph, SPACE};
use crate::ink::{Ink, width_of};
use crate::staff::slurs::At;

/// The size of a sign that is only known by its name.
const NAME: f64 = 10.0;

/// An articulation as it stands above and below; `None` where a sign is none.
fn articulation(sign: &Sign) -> Option<Vec<[&'static Glyph; 2]>> {
    const STACCATO: [&Glyph; 2] = [&glyph::ARTIC_STACCATO_ABOVE, &glyph::ARTIC_STACCATO_BELOW];
    const TENUTO: [&Glyph; 2] = [&glyph::ARTIC_TENUTO_ABOVE, &glyph::ARTIC_TENUTO_BELOW];
    let Sign::Other(name) = sign else { return None };
    Some(match name.as_str() {
        "staccato" => vec![STACCATO],
        "tenuto" => vec![TENUTO],
        "detached-legato" => vec![STACCATO, TENUTO],
        "accent" | "emphasis" | ">" => {
            vec![[&glyph::ARTIC_ACCENT_ABOVE, &glyph::ARTIC_ACCENT_BELOW]]
        }
        "strong-accent" | "marcato" | "^" => {
            vec![[&glyph::ARTIC_MARCATO_ABOVE, &glyph::ARTIC_MARCATO_BELOW]]
        }
        "staccatissimo" | "wedge" | "spiccato" => {
            vec![[
                &glyph::ARTIC_STACCATISSIMO_ABOVE,
                &glyph::ARTIC_STACCATISSIMO_BELOW,
            ]]
        }
        _ => return None,
    })
}

/// Draws articulations at the heads, away from the stems; gives back which chords have some.
pub(super) fn near(
    ink: &mut Ink<'_>,
    scene: &Scene<'_, '_>,
    tips: &Tips,
) -> io::Result<HashSet<At>> {
    let mut articulated = HashSet::new();
    for seen in scene.chords() {
        let signs = seen
            .chord
            .signs
            .iter()
            .filter_map(|sign| articulation(sign));
        let signs: Vec<[&Glyph; 2]> = signs.flatten().collect();
        let Some((low, high)) = seen.chord.reach().filter(|_| !signs.is_empty()) else {
            continue;
        };
        articulated.insert(seen.at);
        let shared = scene
            .measures
            .get(seen.at.0)
            .is_some_and(crate::staff::Measure::is_shared);
        // Two lines of one staff have theirs outside, at the stems.
        let above = if shared { seen.laid.up } else { !seen.laid.up };
        let stem = tips.get(&seen.at).filter(|_| shared).copied();
        let away = if above { 1 } else { -1 };
        let mut line = if above { high } else { low } + 2 * away;
        if let Some(tip) = stem {
            line = (-tip / glyph::STEP).round() as i32 + away;
        }
        for [over, under] in signs {
            // In the staff a sign stands in a space.
            if line.abs() <= 4 && line % 2 == 0 {
                line += away;
            }
            let glyph = if above { over } else { under };
            // Signs of some height stand outside the staff.
            if glyph.bottom - glyph.top > 0.6 {
                line = if above { line.max(6) } else { line.min(-6) };
            }
            let wide = (glyph.left + glyph.right) * SPACE;
            ink.glyph("sign", glyph, (seen.middle() - wide / 2.0, y_of(line)), 1.0)?;
            line += 2 * away;
        }
    }
    Ok(articulated)
}

/// Draws what stands above the staff, nearest first.
pub(super) fn above(ink: &mut Ink<'_>, scene: &Scene<'_, '_>) -> io::Result<()> {
    for seen in scene.chords() {
        for sign in &seen.chord.signs {
            match sign {
                Sign::Plus => over(ink, &seen, &glyph::BRASS_MUTE_CLOSED)?,
                Sign::Circle => over(ink, &seen, &glyph::BRASS_MUTE_OPEN)?,
                Sign::Fermata => over(ink, &seen, &glyph::FERMATA_ABOVE)?,
                Sign::Trill(to) => trill(ink, scene, &seen, *to)?,
                // A line to the next note and a breath behind this one are drawn elsewhere.
                Sign::Glissando | Sign::Breath => {}
                Sign::Other(name) if articulation(sign).is_none() => named(ink, &seen, name)?,
                Sign::Other(_) => {}
            }
        }
        if seen.chord.breath {
            let x = seen.x + seen.laid.dots + 0.6 * SPACE;
            let comma = &glyph::BREATH_MARK_COMMA;
            let bottom = ink.room_above(
                x,
                x + comma.right * SPACE,
                (comma.bottom - comma.top) * SPACE,
            );
            ink.glyph(
                "breath-mark",
                comma,
                (x, bottom - comma.bottom * SPACE),
                1.0,
            )?;
        }
    }
    Ok(())
}

/// A sign over the middle of a chord.
fn over(ink: &mut Ink<'_>, seen: &Seen<'_, '_>, glyph: &'static Glyph) -> io::Result<()> {
    let left = seen.middle() - (glyph.left + glyph.right) * SPACE / 2.0;
    let (from, to) = (left + glyph.left * SPACE, left + glyph.right * SPACE);
    let bottom = ink.room_above(from, to, (glyph.bottom - glyph.top) * SPACE);
    ink.glyph("sign", glyph, (left, bottom - glyph.bottom * SPACE), 1.0)
}

/// A trill, with the accidental of its upper note where the signature does not say it.
fn trill(
    ink: &mut Ink<'_>,
    scene: &Scene<'_, '_>,
    seen: &Seen<'_, '_>,
    to: TrillTo,
) -> io::Result<()> {
    over(ink, seen, &glyph::ORNAMENT_TRILL)?;
    let key = scene.laid.get(seen.at.0).map(|laid| laid.key);
    let (Some(key), Some(head)) = (key, seen.chord.heads.last()) else {
        return Ok(());
    };
    let letter = |step: i32| Letter::from_steps(step.rem_euclid(7));
    let semitones = |step: i32| step.div_euclid(7) * 12 + letter(step).semitones();
    let (step, alteration) = head.pitch;
    let upper = match to {
        TrillTo::Key => None,
        TrillTo::Accidental(alteration) => Some(alteration.0),
        TrillTo::Semitones(by) => {
            let reached = semitones(step) + i32::from(alteration) + i32::from(by);
            i8::try_from(reached - semitones(step + 1)).ok()
        }
    };
    let unsaid = upper.filter(|upper| key.alteration(letter(step + 1)).0 != *upper);
    match unsaid {
        Some(upper) => {
            let sign = glyph::accidental(upper);
            let size = 0.65;
            let left = seen.middle() - sign.right * size * SPACE / 2.0;
            let bottom = ink.room_above(
                left,
                left + sign.right * size * SPACE,
                (sign.bottom - sign.top) * size * SPACE,
            );
            ink.glyph(
                "sign",
                sign,
                (left, bottom - sign.bottom * size * SPACE),
                size,
            )
        }
        None => Ok(()),
    }
}

/// A sign by its name: as its glyph, else in words, so that nothing is lost.
fn named(ink: &mut Ink<'_>, seen: &Seen<'_, '_>, name: &str) -> io::Result<()> {
    match name {
        "uppermordent" | "pralltriller" | "inverted-mordent" => {
            over(ink, seen, &glyph::ORNAMENT_SHORT_TRILL)
        }
        "lowermordent" | "mordent" => over(ink, seen, &glyph::ORNAMENT_MORDENT),
        "turn" | "roll" => over(ink, seen, &glyph::ORNAMENT_TURN),
        "segno" => over(ink, seen, &glyph::SEGNO),
        "coda" => over(ink, seen, &glyph::CODA),
        "caesura" => over(ink, seen, &glyph::CAESURA),
        // Said to a program that plays, and to nobody who reads.
        _ if name.starts_with("mute ") => Ok(()),
        _ => {
            let wide = width_of(name, NAME);
            let left = (seen.middle() - wide / 2.0).max(0.0);
            let bottom = ink.room_above(left, left + wide, NAME);
            ink.text("words", (left, bottom - 2.0), name)
        }
    }
}
