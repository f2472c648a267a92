//! What a drawn note is called, in words and in style sheets.

use horn::Register;
use reading::{Hand, PlayedNote, Technique};

use crate::subject::{Options, Subject};

/// The `id` of a note's element.
pub(crate) fn id(options: &Options<'_>, index: usize) -> String {
    note_id(options.names, index)
}

/// The `id` of a note's element, by its place in the part's notes; `names` is what the names in the drawing begin with.
#[must_use]
pub fn note_id(names: &str, index: usize) -> String {
    format!("{names}note-{index}")
}

/// A note in words, for those who point at it or hear it read.
pub(crate) fn label(subject: &Subject<'_>, note: &PlayedNote) -> String {
    let mut words = format!(
        "{} (sounds {}), bar {}{}, {}, {}",
        note.written,
        note.sounding,
        note.number,
        beat(subject, note),
        note.register.name(),
        note.technique.name()
    );
    if let Some((dynamic, _)) = note.marked.dynamic {
        words.push_str(&format!(", {dynamic}"));
    }
    if note.tied_from {
        words.push_str(", held on");
    }
    words
}

/// `, beat 3`, where there is a metre; a part of a beat to a hundredth.
fn beat(subject: &Subject<'_>, note: &PlayedNote) -> String {
    let part = subject.reading.piece.parts.get(subject.horn.seat.part);
    let bar = part.and_then(|part| part.bars.get(note.bar));
    let Some(meter) = bar.and_then(|bar| bar.meter) else {
        return String::new();
    };
    let beat = meter.bar().to_f64() / f64::from(meter.beats.max(1));
    let beat = if meter.is_compound() {
        beat * 3.0
    } else {
        beat
    };
    // The upbeat is the end of a bar.
    let missing = bar.map_or(0.0, |bar| {
        if bar.number == 0 {
            (meter.bar() - bar.length).to_f64().max(0.0)
        } else {
            0.0
        }
    });
    let place = (note.offset.to_f64() + missing) / beat + 1.0;
    format!(", beat {}", (place * 100.0).round() / 100.0)
}

/// The classes of a note: its register, hand and mute, and whether another player's.
pub(crate) fn classes(note: &PlayedNote) -> String {
    let more = if note.leads() { "" } else { " other" };
    format!(
        "note r-{} t-{}{more}",
        register(note.register),
        way(&note.technique)
    )
}

/// What is drawn behind a head: its register, and a hatching where hand or mute changes the sound.
pub(crate) fn behind(note: &PlayedNote) -> &'static [&'static str] {
    if way(&note.technique) == "open" {
        &["body"]
    } else {
        &["body", "hatch"]
    }
}

/// How hand and mute are called in style sheets.
pub(crate) const fn way(technique: &Technique) -> &'static str {
    match (technique.hand, technique.muted()) {
        (Hand::Open, false) => "open",
        (Hand::Open, true) => "muted",
        (Hand::Stopped, false) => "stopped",
        (Hand::Stopped, true) => "stopped-muted",
        (Hand::HalfStopped, _) => "half-stopped",
    }
}

/// How a register is called in style sheets.
pub(crate) const fn register(register: Register) -> &'static str {
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
