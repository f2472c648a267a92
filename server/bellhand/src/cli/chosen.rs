//! Which horn part of a score a command is about.

use engine::Analysis;
use reading::{HornPart, PieceReading};
use score::PartSelector;

/// A horn part of a score.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Chosen<'a> {
    /// Its piece's place in the score.
    pub(crate) piece: usize,
    /// Where that begins, in bytes.
    pub(crate) base: usize,
    pub(crate) reading: &'a PieceReading,
    pub(crate) horn: &'a HornPart,
}

/// The horn parts that go by a name or id, or all of them. The error says what there is to choose from.
pub(crate) fn parts<'a>(
    analysis: &'a Analysis,
    named: Option<&str>,
) -> Result<Vec<Chosen<'a>>, String> {
    let selector = named.map(|name| PartSelector::Named(name.to_owned()));
    let all = analysis
        .pieces
        .iter()
        .enumerate()
        .flat_map(|(piece, (base, reading))| {
            reading.horns.iter().map(move |horn| Chosen {
                piece,
                base: *base,
                reading,
                horn,
            })
        });
    let (chosen, others): (Vec<_>, Vec<_>) = all.partition(|part| {
        selector.as_ref().is_none_or(|selector| {
            let selected = selector.select(&part.reading.piece.parts);
            selected.contains(&part.horn.seat.part)
        })
    });
    match (chosen.is_empty(), others.is_empty()) {
        (false, _) => Ok(chosen),
        (true, true) => Err("there is no horn part here".to_owned()),
        (true, false) => Err(format!("no such horn part; there are {}", names(&others))),
    }
}

/// The one horn part that goes by a name or id, or the only one. The error says what there is to choose from.
pub(crate) fn part<'a>(analysis: &'a Analysis, named: Option<&str>) -> Result<Chosen<'a>, String> {
    let chosen = parts(analysis, named)?;
    match chosen[..] {
        [one] => Ok(one),
        _ => Err(format!(
            "which part? Say --part and one of {}",
            names(&chosen)
        )),
    }
}

fn names(parts: &[Chosen<'_>]) -> String {
    let names: Vec<String> = parts
        .iter()
        .map(|part| format!("\"{}\"", part.horn.label))
        .collect();
    names.join(", ")
}
