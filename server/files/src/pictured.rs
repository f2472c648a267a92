//! A score's horn parts as pictures, each with what is said about it.

use engine::{Finding, Judged};
use picture::{Drawing, Options, Subject};
use reading::{HornPart, PieceReading};

use crate::sound::Sound;

/// A horn part as a picture.
#[derive(Debug, Clone, PartialEq)]
pub struct PicturedPart {
    /// The piece and the part.
    pub heading: String,
    /// The drawing.
    pub drawing: Drawing,
    /// The findings about it, by their places in the list, each with the name of its mark in the picture.
    pub about: Vec<(usize, String)>,
}

/// A score as pictures.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Pictured {
    /// The parts that are drawn, in the order of the score.
    pub parts: Vec<PicturedPart>,
    /// The findings that are about no part, by their places in the list.
    pub rest: Vec<usize>,
}

/// What the names in a part's drawing begin with.
fn names(number: usize, place: usize) -> String {
    format!("score-{number}-part-{place}-")
}

/// What is to be heard of a score's horn parts, for their pictures by [`pictured`], in the same order.
pub fn sounds(judged: &Judged, number: usize) -> impl Iterator<Item = Sound> {
    let horns = judged
        .pieces()
        .flat_map(|(_, reading)| reading.horns.iter().map(move |horn| (reading, horn)));
    (1..)
        .zip(horns)
        .map(move |(place, (reading, horn))| Sound::of(reading, horn, &names(number, place)))
}

/// Draws a score's horn parts; `number` tells the score from others on the same page.
///
/// Fails where a picture cannot be drawn.
pub fn pictured(judged: &Judged, number: usize, findings: &[Finding]) -> std::io::Result<Pictured> {
    let mut pictured = Pictured::default();
    let mut drawn = vec![false; findings.len()];
    let horns = judged.pieces().flat_map(|(base, reading)| {
        let horns = reading.horns.iter();
        horns.map(move |horn| (base, reading, horn))
    });
    for (place, (base, reading, horn)) in (1..).zip(horns) {
        let names = names(number, place);
        let subject = Subject {
            base,
            reading,
            horn,
            findings,
        };
        let options = Options {
            names: &names,
            // The page lists them beside the picture.
            sentences: false,
            ..Options::default()
        };
        let drawing = picture::engrave(&subject, &options)?;
        let begins = format!("{names}finding-");
        let mark = |place: &picture::Place| {
            let index = place.id.strip_prefix(&begins)?.parse().ok()?;
            Some((index, place.id.clone()))
        };
        let about: Vec<(usize, String)> = drawing.places.iter().filter_map(mark).collect();
        for (index, _) in &about {
            if let Some(drawn) = drawn.get_mut(*index) {
                *drawn = true;
            }
        }
        pictured.parts.push(PicturedPart {
            heading: heading(reading, horn),
            drawing,
            about,
        });
    }
    let rest = drawn.iter().enumerate().filter(|(_, drawn)| !**drawn);
    pictured.rest = rest.map(|(index, _)| index).collect();
    Ok(pictured)
}

/// The piece and the part.
fn heading(reading: &PieceReading, horn: &HornPart) -> String {
    match &reading.piece.title {
        Some(title) => format!("{}: {}", title.text, horn.label),
        None => horn.label.clone(),
    }
}
