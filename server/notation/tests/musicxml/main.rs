//! MusicXML read, edited and written, on invented scores of a wind band at a ferry pier.
#![expect(
    clippy::unwrap_used,
    clippy::panic,
    reason = "test helpers fail loudly and tell their counts"
)]

mod incremental;
mod maker;
mod reading;
#[path = "../shared/silencing.rs"]
mod silencing;
mod writing;

use notation::{Document, Format};
use score::{EventKind, Note, Part, Span};

fn doc(text: &str) -> Document {
    Document::from_text(Format::MusicXml, text)
}

/// A note with its places in the document.
struct At {
    part: usize,
    bar: usize,
    span: Span,
    note: Note,
}

fn parts(doc: &Document) -> &[Part] {
    &doc.score().pieces[0].piece.parts
}

/// All notes, part by part, in the order of the text.
fn notes(doc: &Document) -> Vec<At> {
    parts(doc)
        .iter()
        .enumerate()
        .flat_map(|(part, read)| {
            read.events()
                .filter_map(move |placed| match &placed.event.kind {
                    EventKind::Note(note) => Some(At {
                        part,
                        bar: placed.bar,
                        span: placed.span(),
                        note: note.clone(),
                    }),
                    _ => None,
                })
        })
        .collect()
}

/// A score of one part, from its measures' contents.
fn score(measures: &[&str]) -> String {
    let mut text = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<score-partwise version=\"4.0\">\n <part-list>\n  \
        <score-part id=\"P1\">\n   <part-name>Horn in F</part-name>\n  </score-part>\n </part-list>\n <part id=\"P1\">\n"
        .to_owned();
    for (index, measure) in measures.iter().enumerate() {
        let number = index + 1;
        text += &format!("  <measure number=\"{number}\">{measure}</measure>\n");
    }
    text + " </part>\n</score-partwise>\n"
}

/// A note's element: pitch as `F#4`, duration in divisions, and what else it holds.
fn note(pitch: &str, duration: u32, rest: &str) -> String {
    let pitch: theory::Pitch = pitch.parse().unwrap();
    let alter = match pitch.alteration.0 {
        0 => String::new(),
        alter => format!("<alter>{alter}</alter>"),
    };
    format!(
        "<note><pitch><step>{}</step>{alter}<octave>{}</octave></pitch><duration>{duration}</duration>{rest}</note>",
        pitch.letter.as_char(),
        pitch.octave
    )
}
