//! Words, tempos and labels beside the notes: whose they are, and what goes on from bar to bar.

use std::collections::BTreeMap;

use score::{EventKind, Kinds, Part};
use theory::Quarters;

use super::{Direction, Measure, Says};
use crate::subject::Subject;

/// Tempos and labels, which may stand in another part alone.
pub(super) fn common<'a>(subject: &Subject<'a>, own: &'a Part) -> Vec<(Quarters, Says<'a>)> {
    let mut found: BTreeMap<Quarters, Vec<Says<'a>>> = BTreeMap::new();
    let piece = &subject.reading.piece;
    let others = piece.parts.iter().filter(|part| !std::ptr::eq(*part, own));
    let mut labelled: BTreeMap<Quarters, &str> = BTreeMap::new();
    for part in std::iter::once(own).chain(others) {
        for placed in part.events_of(Kinds::TEMPOS.and(Kinds::SECTIONS)) {
            let here = found.entry(placed.onset).or_default();
            match &placed.event.kind {
                EventKind::Section(label) if labelled.insert(placed.onset, label).is_none() => {
                    here.push(Says::Section(label));
                }
                EventKind::Tempo(mark)
                    if !here.iter().any(|says| matches!(says, Says::Tempo(_))) =>
                {
                    here.extend(tempo(mark).map(Says::Tempo));
                }
                _ => {}
            }
        }
    }
    let first = found.entry(Quarters::ZERO).or_default();
    if !first.iter().any(|says| matches!(says, Says::Tempo(_))) {
        let marked = piece.tempo.as_ref().and_then(|(mark, _)| tempo(mark));
        first.extend(marked.map(Says::Tempo));
    }
    let each = found.into_iter();
    each.flat_map(|(onset, says)| says.into_iter().map(move |says| (onset, says)))
        .collect()
}

/// `Andante (♩ = 76)`.
fn tempo(mark: &score::TempoMark) -> Option<String> {
    let rate = mark
        .tempo
        .map(|tempo| format!("♩ = {}", crate::sheet::short(tempo.rate())));
    match (
        mark.words
            .as_deref()
            .map(str::trim)
            .filter(|words| !words.is_empty()),
        rate,
    ) {
        (Some(words), Some(rate)) => Some(format!("{words} ({rate})")),
        (Some(words), None) => Some(words.to_owned()),
        (None, rate) => rate,
    }
}

/// Gives each measure what stands at its time, before its own directions.
pub(super) fn share_out<'a>(measures: &mut [Measure<'a>], common: Vec<(Quarters, Says<'a>)>) {
    for (onset, says) in common {
        let after = measures.partition_point(|measure| measure.onset <= onset);
        if let Some(measure) = after.checked_sub(1).and_then(|last| measures.get_mut(last)) {
            let offset = onset - measure.onset;
            measure.directions.push(Direction { offset, says });
        }
    }
}

/// Tells each measure what goes on from those before it.
pub(super) fn run_on(measures: &mut [Measure<'_>]) {
    let (mut ending, mut hairpin) = (false, None);
    for measure in measures {
        (measure.in_ending, measure.in_hairpin) = (ending, hairpin);
        ending = (ending || measure.ending.is_some()) && !measure.ending_ends;
        for direction in &measure.directions {
            match direction.says {
                Says::Hairpin(grows) => hairpin = Some(grows),
                Says::HairpinEnd | Says::Dynamic(_) => hairpin = None,
                Says::Words(_) | Says::Tempo(_) | Says::Section(_) => {}
            }
        }
    }
}
