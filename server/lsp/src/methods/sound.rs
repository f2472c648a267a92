//! `bellhand/sound`, a request of this server's own: what is to be heard of the horn part at a place.

use files::sound::Sound;
use serde::Deserialize;
use tower_lsp::lsp_types::{Position, TextDocumentIdentifier};

use super::picture::part_at;
use crate::view::View;

/// The request's name.
pub(crate) const METHOD: &str = "bellhand/sound";

/// What is asked for.
#[derive(Debug, Clone, Deserialize)]
#[serde(rename_all = "camelCase")]
pub(crate) struct Asked {
    pub(crate) text_document: TextDocumentIdentifier,
    position: Position,
}

/// What is to be heard of the part that `bellhand/picture` draws for the same place, its notes named as they are there;
/// `None` where there is no horn part.
pub(crate) fn sound(view: &View, asked: &Asked) -> Option<Sound> {
    let (_, reading, horn) = part_at(view, view.byte(asked.position))?;
    Some(Sound::of(reading, horn, ""))
}
