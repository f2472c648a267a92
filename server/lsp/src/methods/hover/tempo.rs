//! What a tempo means in seconds.

use reading::PieceReading;
use score::{EventKind, Span};
use theory::{Quarters, TempoSource};

use crate::view::View;

/// The words for a tempo and where it stands; `None` where none stands.
pub(super) fn words(view: &View, byte: usize) -> Option<(Span, String)> {
    view.judged.pieces().find_map(|(base, reading)| {
        let here = |span: Span| span.shifted(base).range().contains(&byte);
        let (span, onset) = at(reading, here)?;
        Some((span.shifted(base), said(reading, onset)))
    })
}

/// The tempo that stands in a place, and when it begins.
fn at(reading: &PieceReading, here: impl Fn(Span) -> bool) -> Option<(Span, Quarters)> {
    let at_start = reading.piece.tempo.as_ref().map(|(_, span)| *span);
    if let Some(span) = at_start.filter(|span| here(*span)) {
        return Some((span, Quarters::ZERO));
    }
    let events = reading.piece.parts.iter().flat_map(score::Part::events);
    let mut tempos = events.filter(|placed| matches!(placed.event.kind, EventKind::Tempo(_)));
    let placed = tempos.find(|placed| here(placed.span()))?;
    Some((placed.span(), placed.onset))
}

fn said(reading: &PieceReading, onset: Quarters) -> String {
    let (tempo, source) = reading.tempo.tempo(onset);
    let rate = tempo.rate().round();
    let from = match source {
        TempoSource::Marked => "as marked",
        TempoSource::Word => "as its word is usually taken, since no number is marked",
        TempoSource::Title => "as the word in the title is usually taken, since no tempo is marked",
        TempoSource::Assumed => "assumed, since no tempo is marked",
    };
    let mut lines = vec![format!("**{rate} quarter notes a minute**, {from}")];
    let bars = reading.piece.parts.iter().find_map(|part| {
        let bar = part.bars.iter().rfind(|bar| bar.onset <= onset)?;
        bar.meter
    });
    if let Some(meter) = bars {
        let seconds = reading.tempo.seconds(onset + meter.bar()) - reading.tempo.seconds(onset);
        lines.push(format!("a bar of {meter} lasts {seconds}"));
    }
    lines.push("Breath, rests and the time for the mute are counted by it.".to_owned());
    lines.join("  \n")
}
