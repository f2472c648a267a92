//! Chords: stem and flag, and each head with its register behind it, its accidental, dots and ledger lines.

use std::io;

use reading::PlayedNote;

use super::beams::{LONG, STEM, Tips};
use super::{Scene, Seen, rests, y_of};
use crate::glyph::{self, SPACE};
use crate::ink::{Area, Ink};
use crate::layout::columns::head_width;
use crate::notes;
use crate::sheet::Tag;
use crate::staff::{Head, Sounding};

/// From one dot to the next.
const DOT: f64 = 0.55 * SPACE;
/// How far a ledger line reaches beyond a head.
const LEDGER: f64 = 0.4 * SPACE;

pub(super) fn draw(ink: &mut Ink<'_>, scene: &Scene<'_, '_>, tips: &mut Tips) -> io::Result<()> {
    for seen in scene.chords() {
        match seen.chord.sounding {
            Sounding::Notes => one(ink, scene, &seen, tips)?,
            Sounding::Rest { .. } => rests::draw(ink, scene, &seen)?,
            Sounding::Nothing => {}
        }
    }
    Ok(())
}

fn one(
    ink: &mut Ink<'_>,
    scene: &Scene<'_, '_>,
    seen: &Seen<'_, '_>,
    tips: &mut Tips,
) -> io::Result<()> {
    let Some((low, high)) = seen.chord.reach() else {
        return Ok(());
    };
    ink.sheet().open(Tag::new("g").word("class", "chord"))?;
    ledgers(
        ink,
        (seen.heads(), seen.heads() + head_width(seen.chord)),
        (low, high),
    )?;
    if seen.chord.value.is_some_and(crate::value::Value::has_stem) {
        stem(ink, seen, (low, high), tips)?;
    }
    let accidentals: Vec<(usize, f64)> = scene
        .column(seen)
        .map(|laid| {
            let own = laid
                .accidentals
                .iter()
                .filter(|(chord, ..)| *chord == seen.at.2);
            own.map(|(_, head, before)| (*head, *before)).collect()
        })
        .unwrap_or_default();
    let places = seen.laid.heads.iter().zip(&seen.laid.spaces);
    for (place, (head, (dx, space))) in seen.chord.heads.iter().zip(places).enumerate() {
        let sign = accidentals.iter().find(|(head, _)| *head == place);
        let accidental = sign
            .zip(head.accidental)
            .map(|((_, before), sign)| (sign, seen.x - before));
        note(
            ink,
            scene,
            seen,
            (head, *space),
            seen.heads() + dx,
            accidental,
        )?;
    }
    ink.sheet().close("g")
}

/// The ledger lines for heads from a lowest to a highest line.
pub(super) fn ledgers(
    ink: &mut Ink<'_>,
    (left, right): (f64, f64),
    (low, high): (i32, i32),
) -> io::Result<()> {
    let above = (6..=high).step_by(2);
    let below = (low..=-6).filter(|line| line % 2 == 0);
    for line in above.chain(below) {
        ink.line(
            "ledger",
            (left - LEDGER, y_of(line)),
            (right + LEDGER, y_of(line)),
        )?;
    }
    Ok(())
}

fn stem(
    ink: &mut Ink<'_>,
    seen: &Seen<'_, '_>,
    (low, high): (i32, i32),
    tips: &mut Tips,
) -> io::Result<()> {
    let Some(value) = seen.chord.value else {
        return Ok(());
    };
    let (x, up) = (seen.stem(), seen.laid.up);
    let head = glyph::head(value.power);
    let beamed = tips.get(&seen.at).copied();
    let (start, tip) = if up {
        let more = 0.75 * SPACE * value.flags().saturating_sub(2) as f64;
        (
            y_of(low) + head.stem_up.1 * SPACE,
            (y_of(high) - LONG - more).min(0.0),
        )
    } else {
        let more = 0.75 * SPACE * value.flags().saturating_sub(2) as f64;
        (
            y_of(high) + head.stem_down.1 * SPACE,
            (y_of(low) + LONG + more).max(0.0),
        )
    };
    let tip = beamed.unwrap_or(tip);
    ink.line("stem", (x, start), (x, tip))?;
    if beamed.is_none() {
        tips.insert(seen.at, tip);
        if let Some(flag) = glyph::flag(value.power, up) {
            ink.glyph("flag", flag, (x - STEM / 2.0, tip), 1.0)?;
        }
    }
    Ok(())
}

fn note(
    ink: &mut Ink<'_>,
    scene: &Scene<'_, '_>,
    seen: &Seen<'_, '_>,
    (head, space): (&Head, i32),
    x: f64,
    accidental: Option<(i8, f64)>,
) -> io::Result<()> {
    let power = seen.chord.value.map_or(2, |value| value.power);
    let y = y_of(head.line);
    let glyph = glyph::head(power);
    let played = head
        .note
        .and_then(|index| Some((index, scene.subject.horn.notes.get(index)?)));
    open(
        ink,
        scene,
        played,
        head.first,
        Area::new(
            x - 0.25 * SPACE,
            x + glyph.right * SPACE + 0.25 * SPACE,
            y - 0.8 * SPACE,
            y + 0.8 * SPACE,
        ),
    )?;
    if let Some((sign, x)) = accidental {
        ink.glyph("accidental", glyph::accidental(sign), (x, y), 1.0)?;
    }
    ink.glyph("head", glyph, (x, y), 1.0)?;
    if let Some(value) = seen.chord.value {
        let y = y_of(space);
        for dot in 0..value.dots {
            let x = seen.x + seen.laid.dots + f64::from(dot) * DOT;
            ink.glyph("dot", &glyph::AUGMENTATION_DOT, (x, y), 1.0)?;
        }
    }
    ink.sheet().close("g")
}

/// Opens the group of a note: its name, its words, and its register behind it. What the part does not play has no name.
pub(super) fn open(
    ink: &mut Ink<'_>,
    scene: &Scene<'_, '_>,
    played: Option<(usize, &PlayedNote)>,
    first: bool,
    area: Area,
) -> io::Result<()> {
    let Some((index, note)) = played else {
        return ink.sheet().open(Tag::new("g").word("class", "silent"));
    };
    let group = Tag::new("g").word("class", &notes::classes(note));
    // What a length takes further heads for is the same note, and one thing has one name.
    let name = if first { "id" } else { "data-note" };
    ink.sheet()
        .open(group.word(name, &notes::id(scene.options, index)))?;
    ink.sheet()
        .text(Tag::new("title"), &notes::label(scene.subject, note))?;
    let behind = if scene.options.plain {
        &[]
    } else {
        notes::behind(note)
    };
    for body in behind {
        let rect = Tag::new("rect").word("class", body);
        let rect = rect.numbers([
            ("x", area.left),
            ("y", area.top),
            ("width", area.right - area.left),
        ]);
        ink.sheet()
            .empty(rect.numbers([("height", area.bottom - area.top), ("rx", 3.0)]))?;
    }
    Ok(())
}
