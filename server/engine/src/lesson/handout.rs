//! A lesson as it is given to those who learn: the score and its tasks, without what is expected and the hints.

use notation::{Document, Format, TextEdit};
use score::{Directive, DirectiveKind, Span};

/// The document without comments that say which faults it has, how to fix them, and what is looked at. Tasks stay.
pub(super) fn of(document: &Document) -> Document {
    let text = document.text();
    let score = document.score();
    let hidden = |(_, directive): &(Span, &Directive)| {
        matches!(
            directive.kind,
            DirectiveKind::Expect(_) | DirectiveKind::Hint(_) | DirectiveKind::Only { .. }
        )
    };
    let comments = score.all_directives().filter(hidden);
    let mut spans: Vec<Span> = comments
        .filter_map(|(words, directive)| {
            comment(&text, document.format(), words, directive.own_line)
        })
        .collect();
    spans.sort_unstable();
    let edits: Vec<TextEdit> = spans
        .into_iter()
        .map(|span| TextEdit {
            span,
            text: String::new(),
        })
        .collect();
    // Comments do not overlap.
    document
        .with_edits(&edits)
        .unwrap_or_else(|_| document.clone())
}

/// Where the comment stands that holds some words: with its line where it has one to itself.
fn comment(text: &str, format: Format, words: Span, own_line: bool) -> Option<Span> {
    let (before, after) = (text.get(..words.start)?, text.get(words.end..)?);
    let line = before.rfind(['\n', '\r']).map_or(0, |end| end + 1);
    let next = words.end + after.find(['\n', '\r']).unwrap_or(after.len());
    let after_line = text.get(next..)?;
    let ending = ["\r\n", "\n", "\r"]
        .into_iter()
        .find(|end| after_line.starts_with(end));
    let whole = Span::new(line, next + ending.map_or(0, str::len));
    match format {
        Format::MusicXml if own_line => Some(whole),
        Format::MusicXml => {
            let start = before.rfind("<!--")?;
            let end = words.end + after.find("-->")? + "-->".len();
            Some(Span::new(start, end))
        }
        Format::Abc if own_line => Some(whole),
        Format::Abc => {
            let head = before
                .trim_end()
                .trim_end_matches('%')
                .trim_end_matches([' ', '\t']);
            Some(Span::new(head.len(), next))
        }
        // A comment in one spine leaves its place in the line to the others.
        Format::Kern if text.get(line..next)?.starts_with("!!") => Some(whole),
        Format::Kern => Some(Span::new(words.start, words.end)),
    }
}
