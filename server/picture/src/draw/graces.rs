//! Small notes before a chord, each with a stem and a flag of its own.

use std::io;

use super::chords::{ledgers, open};
use super::{Scene, y_of};
use crate::glyph::{self, SPACE};
use crate::ink::{Area, Ink};
use crate::layout::columns::{GRACE, SMALL};

pub(super) fn draw(ink: &mut Ink<'_>, scene: &Scene<'_, '_>) -> io::Result<()> {
    for seen in scene.chords() {
        let Some(laid) = scene.column(&seen) else {
            continue;
        };
        let mut x = seen.x - laid.graces;
        for heads in &seen.chord.graces {
            if heads.iter().any(|head| head.accidental.is_some()) {
                x += 0.8 * SPACE;
            }
            let lines = heads.iter().map(|head| head.line);
            let (Some(low), Some(high)) = (lines.clone().min(), lines.max()) else {
                continue;
            };
            let wide = glyph::NOTEHEAD_BLACK.right * SMALL * SPACE;
            ink.sheet()
                .open(crate::sheet::Tag::new("g").word("class", "grace"))?;
            ledgers(ink, (x, x + wide), (low, high))?;
            let stem = x + wide - 0.5;
            let tip = y_of(high) - 2.4 * SPACE;
            ink.line("stem", (stem, y_of(low) - 1.0), (stem, tip))?;
            ink.glyph("flag", &glyph::FLAG_8TH_UP, (stem - 0.4, tip), SMALL)?;
            for head in heads {
                let y = y_of(head.line);
                let played = head
                    .note
                    .and_then(|index| Some((index, scene.subject.horn.notes.get(index)?)));
                let area = Area::new(x - 1.0, x + wide + 1.0, y - 0.55 * SPACE, y + 0.55 * SPACE);
                open(ink, scene, played, head.first, area)?;
                if let Some(sign) = head.accidental {
                    let glyph = glyph::accidental(sign);
                    ink.glyph(
                        "accidental",
                        glyph,
                        (x - (glyph.right * SMALL + 0.15) * SPACE, y),
                        SMALL,
                    )?;
                }
                ink.glyph("head", &glyph::NOTEHEAD_BLACK, (x, y), SMALL)?;
                ink.sheet().close("g")?;
            }
            ink.sheet().close("g")?;
            x += GRACE;
        }
    }
    Ok(())
}
