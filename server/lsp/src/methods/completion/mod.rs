//! `textDocument/completion`: what can be set in a settings file, said in a score's comment, and written in its music.

pub(crate) mod score;
pub(crate) mod settings;

use engine::Suggestion;
use tower_lsp::lsp_types::{
    CompletionItem, CompletionItemKind, CompletionTextEdit, Documentation, InsertTextFormat,
    Position, Range, TextEdit,
};

/// Suggestions as the protocol has them; `place` gives where a byte stands, `snippets` says whether the client fills in
/// the places of a text that has some.
fn items_of(
    suggestions: Vec<Suggestion>,
    kind: CompletionItemKind,
    snippets: bool,
    place: impl Fn(usize) -> Position,
) -> Vec<CompletionItem> {
    let items = (0..).zip(suggestions).map(|(number, suggestion)| {
        let range = Range::new(
            place(suggestion.replaces.start),
            place(suggestion.replaces.end),
        );
        let fills = suggestion.to_fill_in && snippets;
        let text = match suggestion.to_fill_in && !snippets {
            true => filled_in(&suggestion.text),
            false => suggestion.text,
        };
        CompletionItem {
            label: match &suggestion.label {
                Some(label) => label.clone(),
                None => text.trim_end().to_owned(),
            },
            kind: Some(if suggestion.to_fill_in {
                CompletionItemKind::SNIPPET
            } else {
                kind
            }),
            documentation: Some(Documentation::String(suggestion.what)),
            // What is already written is compared with this.
            filter_text: Some(suggestion.label.unwrap_or_else(|| text.clone())),
            // In the order they are offered in: what fits best first, rules as in the rule book.
            sort_text: Some(format!("{number:04}")),
            insert_text_format: fills.then_some(InsertTextFormat::SNIPPET),
            text_edit: Some(CompletionTextEdit::Edit(TextEdit::new(range, text))),
            ..CompletionItem::default()
        }
    });
    items.collect()
}

/// A text with its places filled in by what they suggest themselves.
fn filled_in(text: &str) -> String {
    let mut filled = String::new();
    let mut rest = text;
    while let Some(at) = rest.find('$') {
        filled.push_str(rest.get(..at).unwrap_or_default());
        let place = rest.get(at + 1..).unwrap_or_default();
        let braced = place
            .strip_prefix('{')
            .and_then(|place| place.split_once('}'));
        rest = match braced {
            Some((place, behind)) => {
                filled.push_str(place.split_once(':').map_or("", |(_, words)| words));
                behind
            }
            None => place.trim_start_matches(|sign: char| sign.is_ascii_digit()),
        };
    }
    filled + rest
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_filled_in() {
        assert_eq!(filled_in("!+!${1:c2} !open!${2:c2}$0"), "!+!c2 !open!c2");
        assert_eq!(filled_in("c4 | $0d"), "c4 | d");
        assert_eq!(filled_in("c4"), "c4");
    }
}
