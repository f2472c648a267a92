//! `bellhand fingering`: every way to play a note on a kind of horn, open and stopped.

use std::io::Write;

use files::Outcome;
use horn::{Fingering, Height, Instrument, Side, StoppedBy};

use super::arguments::FingeringArguments;

pub(crate) fn run(arguments: &FingeringArguments) -> std::io::Result<Outcome> {
    let crook = arguments.crook;
    let sounding = crook.transposition().sound(arguments.note);
    let (height, instrument) = (Height::of(sounding), arguments.instrument);
    let mut out = anstream::stdout();
    let on_f = if height.midi() == arguments.note.midi() {
        String::new()
    } else {
        format!(", {height} on a horn in F,")
    };
    writeln!(
        out,
        "{} for {}{on_f} sounds {sounding}; on the {instrument} horn:",
        arguments.note,
        crook.label(),
    )?;
    let ways = horn::fingerings(instrument, height);
    if ways.is_empty() {
        writeln!(out, "  no fingering gives it")?;
    }
    write_ways(&mut out, ways)?;
    writeln!(out, "stopped:")?;
    let stopped = horn::stopped_fingering(instrument, height).unwrap_or_default();
    if stopped.is_empty() {
        writeln!(out, "  no fingering gives it")?;
    }
    for line in stopped_ways(instrument, height, &stopped) {
        writeln!(out, "  {line}")?;
    }
    let half = horn::half_stopped_fingering(instrument, height);
    if !half.value.is_empty() {
        writeln!(out, "half-stopped, a semitone higher ({}):", half.source)?;
    }
    write_ways(&mut out, half.value)?;
    let all = ways.iter().chain(&stopped).chain(half.value);
    for source in sources(all) {
        writeln!(out, "{source}")?;
    }
    out.flush()?;
    Ok(if ways.is_empty() {
        Outcome::Findings
    } else {
        Outcome::Clean
    })
}

/// Ways one below the other, of which the first is the best.
fn write_ways(out: &mut impl Write, ways: &[Fingering]) -> std::io::Result<()> {
    for (place, way) in ways.iter().enumerate() {
        let best = if place == 0 && way.common {
            ", the best"
        } else {
            ""
        };
        writeln!(out, "  {}{best}", described(way))?;
    }
    Ok(())
}

/// A way: side and valves, partial, cents, and whether it is common.
fn described(way: &Fingering) -> String {
    let usual = if way.common { "common" } else { "rare" };
    let cents = match way.cents {
        0 => "0 cents".to_owned(),
        cents => format!("{cents:+} cents"),
    };
    format!("{way}, partial {}, {cents}, {usual}", way.partial)
}

/// Who says what of some ways, each once.
fn sources<'a>(ways: impl Iterator<Item = &'a Fingering>) -> Vec<String> {
    let mut sources: Vec<String> = Vec::new();
    for way in ways {
        let (cents, common) = (way.source(), way.common_source());
        let source = match cents == common {
            true => format!("source: {cents}"),
            false => format!("source: {common}; cents: {cents}"),
        };
        if !sources.contains(&source) {
            sources.push(source);
        }
    }
    sources
}

/// The stopped ways, and what has to be known of them.
fn stopped_ways(instrument: Instrument, height: Height, ways: &[Fingering]) -> Vec<String> {
    let by = horn::stopped_by(instrument);
    let how = match by.value {
        StoppedBy::FSide => "a semitone lower on the F side",
        StoppedBy::StoppingValve => "with a stopping valve, fingered as when open",
    };
    let mut lines = Vec::new();
    if !ways.is_empty() {
        let quality = horn::stopped_quality(height);
        lines.push(format!("{how} ({})", by.source));
        lines.extend(ways.iter().map(described));
        let quality_words = match quality.value {
            horn::StoppedQuality::Good => None,
            horn::StoppedQuality::Fuzzy => Some("fuzzy in sound and tuning this low"),
            horn::StoppedQuality::Poor | horn::StoppedQuality::Impossible => {
                Some("hardly speaks this low")
            }
        };
        lines.extend(quality_words.map(|words| format!("{words} ({})", quality.source)));
    }
    if by.value == StoppedBy::StoppingValve {
        let rise = horn::hand_raises(Side::BFlat);
        lines.extend(rise.map(|rise| {
            format!(
                "by hand alone out of tune: it raises the note by about {} cents ({})",
                rise.value, rise.source
            )
        }));
        lines.extend(horn::hand_stopped(instrument, height).iter().map(|way| {
            format!(
                "by hand alone {}, the open {}: about {:+} cents ({})",
                way.fingering,
                way.open,
                way.cents,
                horn::Source::Computed
            )
        }));
    }
    lines
}
