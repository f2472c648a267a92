//! `textDocument/documentSymbol`: tunes, their parts, and the sections of each.

use score::{EventKind, Part, Span};
use tower_lsp::lsp_types::{DocumentSymbol, DocumentSymbolResponse, SymbolKind};

use crate::lsp::view::View;

/// The outline of a document.
pub(in crate::lsp) fn symbols(view: &View) -> DocumentSymbolResponse {
    let placed = view.judged.document().score().pieces.iter();
    let pieces = placed.zip(view.judged.pieces());
    let symbols = pieces
        .map(|(placed, (_, reading))| {
            let piece = &placed.piece;
            let whole = piece.span.shifted(placed.base);
            let (name, head) = match &piece.title {
                Some(title) => (title.text.clone(), title.span.shifted(placed.base)),
                None => ("untitled".to_owned(), Span::new(whole.start, whole.start)),
            };
            let parts = piece
                .parts
                .iter()
                .enumerate()
                .map(|(index, part)| {
                    let horn = reading.horns.iter().find(|horn| horn.seat.part == index);
                    let detail = horn.map(|horn| horn.crook.label());
                    part_symbol(view, part, placed.base, detail)
                })
                .collect();
            let detail = piece
                .composer
                .as_ref()
                .map(|composer| composer.text.clone());
            symbol(view, name, detail, SymbolKind::MODULE, whole, head, parts)
        })
        .collect();
    DocumentSymbolResponse::Nested(symbols)
}

fn part_symbol(view: &View, part: &Part, base: usize, detail: Option<String>) -> DocumentSymbol {
    let head = part.head.shifted(base);
    let whole = part
        .bars
        .iter()
        .filter_map(score::Bar::span)
        .fold(head, |whole, bar| whole.joined(bar.shifted(base)));
    let sections = part
        .events()
        .filter_map(|placed| match &placed.event.kind {
            EventKind::Section(label) => {
                let span = placed.span().shifted(base);
                Some(symbol(
                    view,
                    label.clone(),
                    None,
                    SymbolKind::STRING,
                    span,
                    span,
                    Vec::new(),
                ))
            }
            _ => None,
        })
        .collect();
    let name = part
        .name
        .as_ref()
        .map(|name| name.text.trim().to_owned())
        .filter(|name| !name.is_empty())
        .unwrap_or_else(|| format!("part {}", part.id));
    symbol(view, name, detail, SymbolKind::CLASS, whole, head, sections)
}

#[expect(
    deprecated,
    reason = "the type still has its old field, which must be filled"
)]
fn symbol(
    view: &View,
    name: String,
    detail: Option<String>,
    kind: SymbolKind,
    whole: Span,
    head: Span,
    children: Vec<DocumentSymbol>,
) -> DocumentSymbol {
    DocumentSymbol {
        // An empty name is refused by some clients.
        name: if name.trim().is_empty() {
            "untitled".to_owned()
        } else {
            name
        },
        detail,
        kind,
        tags: None,
        deprecated: None,
        range: view.range(whole),
        selection_range: view.range(head),
        children: (!children.is_empty()).then_some(children),
    }
}
