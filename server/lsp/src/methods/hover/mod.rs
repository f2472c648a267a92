//! `textDocument/hover`: what a note, a mark, a key signature, a clef, a metre, a part's name, a tempo or an instruction means to the player.

mod ignored;
mod key;
mod mark;
mod note;
mod part;
mod players;
mod settings;
mod sign;
mod tempo;

use engine::Finding;
use score::Span;
use tower_lsp::lsp_types::{Hover, HoverContents, MarkupContent, MarkupKind, Position};

use crate::shared::Shared;
use crate::view::View;

/// The words for a place; `None` where there is nothing for a horn player.
pub(crate) fn hover(view: &View, position: Position, shared: &Shared) -> Option<Hover> {
    let byte = view.byte(position);
    let markdown = shared.traits().markdown;
    let here = mark(view, byte)
        .or_else(|| key(view, byte))
        .or_else(|| note(view, byte))
        .or_else(|| part::words(view, byte))
        .or_else(|| tempo::words(view, byte))
        .or_else(|| sign::words(view, byte))
        .or_else(|| ignored::words(view, byte));
    let (span, words) = match (here, set(view, byte, shared)) {
        (Some((span, words)), Some((_, set))) => (span, format!("{words}\n\n{set}")),
        (here, set) => here.or(set)?,
    };
    let (kind, value) = if markdown {
        (MarkupKind::Markdown, words)
    } else {
        (MarkupKind::PlainText, plain(&words))
    };
    Some(Hover {
        contents: HoverContents::Markup(MarkupContent { kind, value }),
        range: Some(view.range(span)),
    })
}

/// The words without the few signs of Markdown that are used in them.
fn plain(words: &str) -> String {
    words.replace(['*', '`'], "").replace("  \n", "\n")
}

/// What is set of the rules that speak at a place.
fn set(view: &View, byte: usize, shared: &Shared) -> Option<(Span, String)> {
    let findings = view.judged.findings().iter();
    let here: Vec<&Finding> = findings
        .filter(|finding| finding.span.range().contains(&byte))
        .collect();
    // The line that says it may have moved since the text was judged.
    let settings = shared.settings.known(&view.uri)?;
    let links = shared.traits().markdown && shared.pages.is_some();
    let words = settings::words(&here, &settings, links)?;
    let first = here.iter().min_by_key(|finding| finding.span.len())?;
    Some((first.span, words))
}

fn mark(view: &View, byte: usize) -> Option<(Span, String)> {
    view.horns().find_map(|(base, _, horn)| {
        let mut span = None;
        let words = players::said(horn.players(), |line| {
            let here = line.marks.iter().filter(|mark| {
                let stands = mark.span.shifted(base).range();
                stands.contains(&byte)
            });
            let words: Vec<String> = here
                .map(|mark| {
                    span = Some(mark.span.shifted(base));
                    mark::words(mark, line, is_told(view, mark.span.shifted(base)))
                })
                .collect();
            (!words.is_empty()).then(|| words.join("\n\n"))
        });
        Some((span?, words.join("\n\n")))
    })
}

/// Whether a finding at a mark that moves the hand says how much time there is for it, so that the client shows it.
fn is_told(view: &View, mark: Span) -> bool {
    let mut findings = view.judged.findings().iter();
    findings.any(|finding| finding.rule == "mute/no-time" && finding.span.meets(mark))
}

fn key(view: &View, byte: usize) -> Option<(Span, String)> {
    view.horns().find_map(|(base, _, horn)| {
        let (_, key, span) = horn
            .keys
            .iter()
            .find(|(_, key, span)| !key.is_none() && span.shifted(base).range().contains(&byte))?;
        Some((span.shifted(base), key::words(*key, *span, horn)))
    })
}

fn note(view: &View, byte: usize) -> Option<(Span, String)> {
    let (base, reading, horn, note) = view.note_at(byte)?;
    Some((
        note.span.shifted(base),
        note::words(note, horn, reading, |mark| said(view, mark.shifted(base))),
    ))
}

/// How a mark reads in the text; `None` when that is too long to repeat.
fn said(view: &View, mark: Span) -> Option<String> {
    const LONGEST: usize = 40;
    let text = view
        .judged
        .document()
        .rope()
        .get_byte_slice(mark.range())?
        .to_string();
    (text.len() <= LONGEST && !text.contains(['\n', '\r', '`'])).then_some(text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plain_words_have_no_signs() {
        assert_eq!(plain("**C4**  \n*high*: `x`"), "C4\nhigh: x");
    }
}
