//! `bellhand/picture`, a request of this server's own: the horn part at a place as a drawing.

use picture::{Options, Pitched, Subject};
use reading::{HornPart, PieceReading};
use serde::{Deserialize, Serialize};
use tower_lsp::lsp_types::{Position, Range, TextDocumentIdentifier};

use crate::view::View;

/// The request's name.
pub(crate) const METHOD: &str = "bellhand/picture";

/// What is asked for.
#[derive(Debug, Clone, Deserialize)]
#[serde(rename_all = "camelCase")]
pub(crate) struct Asked {
    pub(crate) text_document: TextDocumentIdentifier,
    pub(super) position: Position,
    /// `written` or `sounding`; written when it is left out.
    #[serde(default)]
    pitch: Pitch,
    /// How wide, in pixels; a width of its own when it is left out.
    width: Option<f64>,
    /// Whether breath and lip are drawn below each line; they are when it is left out.
    effort: Option<bool>,
}

impl Asked {
    /// How the drawing is to be.
    pub(super) fn options(&self) -> Options<'static> {
        let unsaid = Options::default();
        Options {
            pitch: match self.pitch {
                Pitch::Written => Pitched::Written,
                Pitch::Sounding => Pitched::Sounding,
            },
            width: self
                .width
                .filter(|width| width.is_finite())
                .unwrap_or(unsaid.width),
            effort: self.effort.unwrap_or(unsaid.effort),
            ..unsaid
        }
    }
}

#[derive(Debug, Clone, Copy, Default, Deserialize)]
#[serde(rename_all = "camelCase")]
enum Pitch {
    #[default]
    Written,
    Sounding,
}

/// The answer.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Answer {
    /// What the part is called.
    part: String,
    /// One `svg` element.
    svg: String,
    /// Its notes and findings, in the order of the text.
    places: Vec<Place>,
    /// The `id` of the note at the position.
    current: Option<String>,
}

/// A thing in the drawing, and where it stands in the text.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Place {
    id: String,
    range: Range,
    label: String,
}

/// The part at a position and its picture, as written; `None` where there is no horn part.
pub(super) fn drawn_at(view: &View, position: Position) -> Option<(String, String)> {
    let (base, reading, horn) = part_at(view, view.byte(position))?;
    let subject = Subject {
        base,
        reading,
        horn,
        findings: view.judged.findings(),
    };
    let drawn = picture::draw(&subject, &Options::default()).ok()?;
    Some((drawn.part, drawn.svg))
}

/// Draws the horn part at the position, or the nearest before it, or the first; `None` where there is no horn part.
pub(crate) fn picture(view: &View, asked: &Asked) -> Option<Answer> {
    let byte = view.byte(asked.position);
    let (base, reading, horn) = part_at(view, byte)?;
    let options = asked.options();
    let subject = Subject {
        base,
        reading,
        horn,
        findings: view.judged.findings(),
    };
    // Writing into memory does not fail.
    let drawn = picture::draw(&subject, &options).ok()?;
    let at = |place: &&picture::Place| place.id.starts_with("note-") && place.span.touches(byte);
    Some(Answer {
        current: drawn.places.iter().rfind(at).map(|place| place.id.clone()),
        part: drawn.part,
        svg: drawn.svg,
        places: placed(view, drawn.places),
    })
}

/// Where the things in a drawing stand in the text, as the protocol counts.
pub(super) fn placed(view: &View, places: Vec<picture::Place>) -> Vec<Place> {
    let places = places.into_iter().map(|place| Place {
        id: place.id,
        range: view.range(place.span),
        label: place.label,
    });
    places.collect()
}

/// The horn part whose text a byte stands in or behind, else the first.
pub(super) fn part_at(view: &View, byte: usize) -> Option<(usize, &PieceReading, &HornPart)> {
    if let Some((base, reading, horn, _)) = view.note_at(byte) {
        return Some((base, reading, horn));
    }
    let begins = |base: usize, horn: &HornPart| {
        let notes = horn.notes.iter().map(|note| note.span.start);
        // Whatever of the part stands last before the byte is nearest to it.
        std::iter::once(horn.head.start)
            .chain(notes)
            .map(|start| base + start)
            .filter(|start| *start <= byte)
            .max()
    };
    view.horns()
        .max_by_key(|(base, _, horn)| begins(*base, horn))
        .filter(|(base, _, horn)| begins(*base, horn).is_some())
        .or_else(|| view.horns().next())
}
