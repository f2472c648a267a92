//! The tempo map of a piece, from every part's marks, with guesses told as guesses.

use score::{EventKind, Kinds, Piece, TempoMark};
use theory::{Quarters, Tempo, TempoMap, TempoSource};

/// Works out the speed at every place of a piece.
pub(crate) fn tempo_map(piece: &Piece, assumed: Option<Tempo>) -> TempoMap {
    let mut map = TempoMap::assuming(assumed.unwrap_or_else(|| horn::assumed().value));
    // What the piece or its movement is called often is its tempo: "Adagio". Any mark at the start counts more.
    let titles = piece.movement.iter().chain(&piece.title);
    if let Some(tempo) = titles
        .filter_map(|title| horn::tempo_of_title(&title.text))
        .next()
    {
        map.change(Quarters::ZERO, tempo.value, TempoSource::Title);
    }
    let at_start = piece.tempo.iter().map(|(mark, _)| (Quarters::ZERO, mark));
    let mut marks: Vec<(Quarters, &TempoMark)> = piece
        .parts
        .iter()
        .flat_map(|part| part.events_of(Kinds::TEMPOS))
        .filter_map(|placed| match &placed.event.kind {
            EventKind::Tempo(mark) => Some((placed.onset, mark)),
            _ => None,
        })
        .collect();
    marks.sort_by_key(|(onset, _)| *onset);
    for (onset, mark) in at_start.chain(marks) {
        if let Some((tempo, source)) = speed(mark) {
            map.change(onset, tempo, source);
        }
    }
    map
}

/// A mark's speed: its number, or else its words at their usual speed.
fn speed(mark: &TempoMark) -> Option<(Tempo, TempoSource)> {
    match (mark.tempo, &mark.words) {
        (Some(tempo), _) => Some((tempo, TempoSource::Marked)),
        (None, Some(words)) => horn::tempo_of(words).map(|tempo| (tempo.value, TempoSource::Word)),
        (None, None) => None,
    }
}
