//! What a note is to the player: its sound, where it lies, how it is fingered and held.

use horn::{Fingering, Instrument, StoppedBy};
use reading::{Hand, HornPart, PieceReading, PlayedNote};
use score::Span;

use super::players;

/// The words for a note; `said` tells how a mark reads in the text.
pub(super) fn words(
    note: &PlayedNote,
    horn: &HornPart,
    reading: &PieceReading,
    said: impl Fn(Span) -> Option<String>,
) -> String {
    let crook = horn.crook_at(note.onset);
    let a4 = horn::concert_a().value;
    let mut lines = vec![
        format!("**{}** written for {}", note.written, crook.label()),
        format!(
            "sounds **{}**, {:.1} Hz at A4 = {a4} Hz",
            note.sounding,
            note.sounding.0.hertz(a4)
        ),
    ];
    if note.height.0.midi() != note.written.midi() {
        lines.push(format!("{} on a horn in F", note.height));
    }
    lines.push(format!(
        "*{}*: {}",
        note.register.name(),
        note.register.character()
    ));
    if let Some(by) = played_by(note, horn) {
        lines.push(by);
    }
    let mut each = |words: &dyn Fn(&PlayedNote, &HornPart) -> Option<String>| {
        let playing = horn
            .players()
            .iter()
            .filter(|line| own(note, line).is_some());
        lines.extend(players::said(playing, |line| words(own(note, line)?, line)));
    };
    each(&|note, line| Some(technique(note, line, &said)));
    each(&|note, line| Some(made(note, line)));
    each(&|note, _| {
        note.marked
            .dynamic
            .map(|(dynamic, _)| format!("dynamic {dynamic}"))
    });
    each(&|note, _| Some(time(note, reading)));
    each(&|note, line| effort(note, line));
    lines.join("  \n")
}

/// The note on a player's own line of a shared staff; the same note where one player has the staff alone.
fn own<'a>(note: &'a PlayedNote, line: &'a HornPart) -> Option<&'a PlayedNote> {
    if line.player.is_none() {
        return Some(note);
    }
    line.notes
        .iter()
        .find(|one| one.pitch_span == note.pitch_span)
}

/// Who plays a note of a shared staff.
fn played_by(note: &PlayedNote, horn: &HornPart) -> Option<String> {
    let numbers: Vec<String> = horn
        .lines
        .iter()
        .filter(|line| own(note, line).is_some())
        .filter_map(|line| line.player.map(|player| player.to_string()))
        .collect();
    match &numbers[..] {
        [] => None,
        [one] => Some(format!("for player {one}")),
        [rest @ .., last] => Some(format!("for players {} and {last}", rest.join(", "))),
    }
}

/// Hand and mute, and the mark a player would point at.
fn technique(note: &PlayedNote, horn: &HornPart, said: &impl Fn(Span) -> Option<String>) -> String {
    let held = &note.technique;
    let name = held.name();
    // An open horn may have been opened by a mark, the hand's or the mute's.
    let Some(mark) = held.mark().or(held.hand_mark).or(held.mute_mark) else {
        return format!("played {name}");
    };
    let bar = horn
        .marks
        .iter()
        .find(|other| other.span == mark)
        .map(|other| format!(" in bar {}", other.number))
        .unwrap_or_default();
    match said(mark) {
        Some(text) => format!("played {name}, by `{text}`{bar}"),
        None => format!("played {name}, by the mark{bar}"),
    }
}

/// What the player does to get it: the hand on a natural horn, else valves.
fn made(note: &PlayedNote, horn: &HornPart) -> String {
    let instrument = horn.seat.instrument;
    if horn.seat.name.natural {
        let made = horn::hand_note(horn.in_series(note));
        return format!("on the natural horn: {} ({})", made.value, made.source);
    }
    match note.technique.hand {
        Hand::Stopped => stopped(note, instrument),
        Hand::HalfStopped => fingerings(
            "half-stopped, which takes it down about a semitone, so fingered a semitone higher:",
            horn::half_stopped_fingering(instrument, note.height).value,
        ),
        Hand::Open => {
            let what = match instrument {
                Instrument::Double => "fingered".to_owned(),
                other => format!("fingered on the {other} horn:"),
            };
            fingerings(&what, horn::fingerings(instrument, note.height))
        }
    }
}

fn stopped(note: &PlayedNote, instrument: Instrument) -> String {
    let quality = horn::stopped_quality(note.height).value;
    let how = match horn::stopped_by(instrument).value {
        StoppedBy::FSide => "stopped on the F side, a semitone lower:",
        StoppedBy::StoppingValve => "stopped with a stopping valve, as the open note:",
    };
    match horn::stopped_fingering(instrument, note.height) {
        Some(found) => {
            let words = fingerings(how, &found);
            match quality {
                horn::StoppedQuality::Good => words,
                horn::StoppedQuality::Fuzzy => format!("{words}; fuzzy this low"),
                horn::StoppedQuality::Poor | horn::StoppedQuality::Impossible => {
                    format!("{words}; hardly speaks this low")
                }
            }
        }
        None => "cannot be stopped by hand".to_owned(),
    }
}

/// All fingerings, those players use as a matter of course first.
fn fingerings(what: &str, all: &[Fingering]) -> String {
    let names = |common| -> Vec<String> {
        all.iter()
            .filter(|fingering| fingering.common == common)
            .map(ToString::to_string)
            .collect()
    };
    let (usual, rare) = (names(true).join(", "), names(false).join(", "));
    match (usual.is_empty(), rare.is_empty()) {
        (true, true) => "no fingering gives it".to_owned(),
        (true, false) => format!("{what} {rare}, none of them usual"),
        (false, true) => format!("{what} {usual}"),
        (false, false) => format!("{what} {usual}; rarely {rare}"),
    }
}

fn time(note: &PlayedNote, reading: &PieceReading) -> String {
    let (tempo, source) = reading.tempo.tempo(note.onset);
    let sure = match source {
        theory::TempoSource::Marked => "",
        theory::TempoSource::Word => ", by the tempo word",
        theory::TempoSource::Title => ", by the title",
        theory::TempoSource::Assumed => ", tempo assumed",
    };
    format!(
        "bar {}, {:.1} s into the piece at {:.0} quarter notes a minute{sure}; {:.1} s since the last rest",
        note.number,
        note.starts.0,
        tempo.rate(),
        note.since_rest.0
    )
}

/// The breath and the lip at its end, by this project's model.
fn effort(note: &PlayedNote, horn: &HornPart) -> Option<String> {
    let times = horn
        .played()
        .filter(|(other, _)| std::ptr::eq(*other, note));
    let (_, pass) = times.last()?;
    let effort = &pass.effort;
    let first = horn.passes.get(effort.breath.since);
    let first = first.and_then(|first| horn.notes.get(first.note));
    let first = first.unwrap_or(note);
    let since = if std::ptr::eq(first, note) {
        "a breath before it".to_owned()
    } else {
        format!(
            "the breath before {} in bar {}",
            first.written, first.number
        )
    };
    let lip = effort.lip.after / horn.endurance.capacity.0.max(f64::EPSILON);
    let time = reading::which_time(pass.time);
    let time = time
        .strip_prefix(", ")
        .map_or_else(String::new, |time| format!(" the {time}"));
    Some(format!(
        "at its end{time} {:.0} % of {since} is spent, and the lip is at {:.0} % of what tires it (bellhand's own model)",
        effort.breath.after * 100.0,
        lip * 100.0
    ))
}
