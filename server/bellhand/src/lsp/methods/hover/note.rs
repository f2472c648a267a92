//! What a note is to the player: its sound, where it lies, how it is fingered and held.

use horn::Fingering;
use reading::{Hand, HornPart, PieceReading, PlayedNote};

/// The pitch of A4 in hertz (ISO 16:1975).
const A4: f64 = 440.0;

/// The words for a note.
pub(super) fn words(note: &PlayedNote, horn: &HornPart, reading: &PieceReading) -> String {
    let crook = horn.crook_at(note.onset);
    let mut lines = vec![
        format!("**{}** written for {}", note.written, crook.label()),
        format!(
            "sounds **{}**, {:.1} Hz at A4 = 440 Hz",
            note.sounding,
            note.sounding.0.hertz(A4)
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
    lines.push(technique(note));
    if note.technique.hand == Hand::Stopped {
        lines.push(stopped(note));
    } else {
        lines.push(fingerings("fingered", horn::fingerings(note.height)));
    }
    if let Some((dynamic, _)) = note.dynamic {
        lines.push(format!("dynamic {dynamic}"));
    }
    lines.push(time(note, reading));
    lines.join("  \n")
}

fn technique(note: &PlayedNote) -> String {
    format!("played {}", note.technique.name())
}

fn stopped(note: &PlayedNote) -> String {
    let quality = horn::stopped_quality(note.height).value;
    match horn::stopped_fingering(note.height) {
        Some(found) => {
            let words = fingerings("stopped on the F side, a semitone lower:", &found);
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

/// The common fingerings, or the uncommon ones where there are no others.
fn fingerings(what: &str, all: &[Fingering]) -> String {
    let common: Vec<String> = all
        .iter()
        .filter(|fingering| fingering.common)
        .map(ToString::to_string)
        .collect();
    let names: Vec<String> = if common.is_empty() {
        all.iter().map(ToString::to_string).collect()
    } else {
        common
    };
    if names.is_empty() {
        "no fingering gives it".to_owned()
    } else {
        format!("{what} {}", names.join(", "))
    }
}

fn time(note: &PlayedNote, reading: &PieceReading) -> String {
    let (tempo, source) = reading.tempo.tempo(note.onset);
    let sure = match source {
        theory::TempoSource::Marked => "",
        theory::TempoSource::Word => ", by the tempo word",
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
