//! The notes: as long as they sound, coloured by register, hatched by hand and mute.

use std::io;

use reading::{Hand, HornPart, PlayedNote, Technique};

use crate::page::System;
use crate::sheet::{Sheet, Tag};
use crate::staff::{STEP, class};
use crate::subject::Options;

/// How high a note is drawn, a little less than a staff space.
const BODY: f64 = STEP * 1.7;
/// A note is never narrower.
const NARROWEST: f64 = 2.5;

/// The `id` of a note's element.
pub(crate) fn id(options: &Options<'_>, index: usize) -> String {
    format!("{}note-{index}", options.names)
}

/// A note in words, for those who point at it or hear it read.
pub(crate) fn label(note: &PlayedNote) -> String {
    let mut words = format!(
        "{} (sounds {}), bar {}, {}, {}",
        note.written,
        note.sounding,
        note.number,
        note.register.name(),
        note.technique.name()
    );
    if let Some((dynamic, _)) = note.dynamic {
        words.push_str(&format!(", {dynamic}"));
    }
    if note.tied_from {
        words.push_str(", held on");
    }
    words
}

/// All notes of a system.
pub(crate) fn draw(sheet: &mut Sheet, system: &System<'_>) -> io::Result<()> {
    for &index in &system.notes {
        let Some(note) = system.subject.horn.notes.get(index) else {
            continue;
        };
        if let Some((from, to)) = system.between(note.starts, note.ends) {
            one(sheet, system, index, note, (from, to))?;
        }
    }
    Ok(())
}

fn one(
    sheet: &mut Sheet,
    system: &System<'_>,
    index: usize,
    note: &PlayedNote,
    (from, to): (f64, f64),
) -> io::Result<()> {
    let pitch = system.options.pitch.of(note);
    let y = system.staff.y(pitch.staff_steps());
    let begins = system.holds(note.starts);
    let way = way(note.technique);
    let more = if note.leads() { "" } else { " other" };
    let classes = format!("note r-{} t-{way}{more}", class(note.register));
    let group = Tag::new("g").word("class", &classes);
    // What goes on from the system above is the same note, and one thing has one name.
    let name = if begins { "id" } else { "data-note" };
    let group = group.word(name, &id(system.options, index));
    sheet.open(group)?;
    sheet.text(Tag::new("title"), &label(note))?;
    system
        .staff
        .ledgers(sheet, note, system.options.pitch, (from, to))?;
    if note.grace {
        let (left, right) = (from - 5.0, from - 0.5);
        let middle = (left + right) / 2.0;
        let points = format!(
            "{left:.1},{y:.1} {middle:.1},{:.1} {right:.1},{y:.1} {middle:.1},{:.1}",
            y - STEP,
            y + STEP
        );
        sheet.empty(
            Tag::new("polygon")
                .word("class", "body")
                .word("points", &points),
        )?;
    } else {
        // A hair between two notes, none where one is held on.
        let gap = if note.tied_to { 0.0 } else { 0.8 };
        let width = (to - from - gap).max(NARROWEST);
        for body in ["body", "hatch"] {
            let rect = Tag::new("rect").word("class", body);
            let rect = rect.numbers([("x", from), ("y", y - BODY / 2.0), ("width", width)]);
            sheet.empty(rect.numbers([("height", BODY), ("rx", 1.2)]))?;
        }
    }
    if begins && !note.tied_from {
        above(sheet, note, from, y, accidental(pitch.alteration.0), way)?;
    }
    sheet.close("g")?;
    if begins {
        joins(sheet, system, index, note, (to, y))?;
    }
    Ok(())
}

/// The signs that stand over a note's beginning: accidental, hand, trill.
fn above(
    sheet: &mut Sheet,
    note: &PlayedNote,
    x: f64,
    y: f64,
    accidental: &str,
    way: &str,
) -> io::Result<()> {
    let hand = match way {
        "stopped" | "stopped-muted" => "+",
        "half-stopped" => "(+)",
        _ => "",
    };
    let trill = if note.trill.is_some() { "tr" } else { "" };
    let signs = format!("{accidental}{hand}{trill}");
    if signs.is_empty() {
        return Ok(());
    }
    let text = Tag::new("text").word("class", "sign");
    sheet.text(
        text.numbers([("x", x), ("y", y - BODY / 2.0 - 1.0)]),
        &signs,
    )
}

/// Slur and breath behind a note.
fn joins(
    sheet: &mut Sheet,
    system: &System<'_>,
    index: usize,
    note: &PlayedNote,
    (x, y): (f64, f64),
) -> io::Result<()> {
    if note.breath.is_some() {
        let text = Tag::new("text").word("class", "breath-mark");
        sheet.text(
            text.numbers([("x", x - 1.5), ("y", system.staff.top - 1.0)]),
            "’",
        )?;
    }
    let next = next(system.subject.horn, index).filter(|next| system.holds(next.starts));
    if let Some(next) = next.filter(|_| note.slurred_to_next && !note.tied_to) {
        let (to, other) = (
            system.x(next.starts),
            system.staff.y(system.options.pitch.of(next).staff_steps()),
        );
        let line = Tag::new("line").word("class", "slur");
        sheet.empty(line.numbers([("x1", x - 1.0), ("y1", y), ("x2", to + 1.0), ("y2", other)]))?;
    }
    Ok(())
}

/// The next note of the same line.
fn next(horn: &HornPart, index: usize) -> Option<&PlayedNote> {
    let layer = horn.notes.get(index)?.layer;
    let mut after = horn.notes.iter().skip(index + 1);
    after.find(|note| note.layer == layer && !note.chord)
}

/// How hand and mute are called in style sheets.
pub(crate) const fn way(technique: Technique) -> &'static str {
    match (technique.hand, technique.muted()) {
        (Hand::Open, false) => "open",
        (Hand::Open, true) => "muted",
        (Hand::Stopped, false) => "stopped",
        (Hand::Stopped, true) => "stopped-muted",
        (Hand::HalfStopped, _) => "half-stopped",
    }
}

const fn accidental(alteration: i8) -> &'static str {
    match alteration {
        i8::MIN..=-2 => "♭♭",
        -1 => "♭",
        0 => "",
        1 => "♯",
        2..=i8::MAX => "♯♯",
    }
}
