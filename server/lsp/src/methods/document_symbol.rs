//! `textDocument/documentSymbol`: tunes, their parts, and the sections of each.

use score::{EventKind, Part, Span};
use tower_lsp::lsp_types::{DocumentSymbol, DocumentSymbolResponse, SymbolKind};

use crate::view::View;

/// The outline of a document.
pub(crate) fn symbols(view: &View) -> DocumentSymbolResponse {
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
            let mut within: Vec<DocumentSymbol> = Vec::new();
            for (index, place) in places(&piece.parts).into_iter().enumerate() {
                let part = &piece.parts[index];
                let horn = reading.horns.iter().find(|horn| horn.seat.part == index);
                let detail = horn.map(|horn| horn.crook.label());
                let sections = sections(view, part, placed.base);
                let whole = place.whole.shifted(placed.base);
                let head = place.head.shifted(placed.base);
                let (inside, beside) = match place.holds {
                    true => (sections, Vec::new()),
                    false => (Vec::new(), sections),
                };
                let name = called(part);
                within.push(symbol(
                    view,
                    name,
                    detail,
                    SymbolKind::CLASS,
                    whole,
                    head,
                    inside,
                ));
                within.extend(beside);
            }
            within.sort_by_key(|one| (one.range.start, one.range.end));
            within.dedup_by(|later, earlier| {
                later.kind == SymbolKind::STRING && later.range == earlier.range
            });
            let detail = piece
                .composer
                .as_ref()
                .map(|composer| composer.text.clone());
            symbol(view, name, detail, SymbolKind::MODULE, whole, head, within)
        })
        .collect();
    DocumentSymbolResponse::Nested(symbols)
}

/// Where a part stands in an outline, from the start of its piece.
struct Place {
    whole: Span,
    /// What is gone to when the part is chosen.
    head: Span,
    /// Whether the part's sections stand within.
    holds: bool,
}

/// Where parts stand, so that none overlaps another: an editor that keeps the part in view at its top can tell only such
/// parts from one another.
fn places(parts: &[Part]) -> Vec<Place> {
    let music = |part: &Part| {
        let bars = part.bars.iter().filter_map(score::Bar::span);
        bars.reduce(Span::joined)
    };
    let mut all: Vec<Span> = parts.iter().filter_map(music).collect();
    all.sort_unstable();
    let apart = all.is_sorted_by(|one, next| one.end <= next.start);
    let place = |part: &Part| match music(part) {
        Some(music) if parts.len() == 1 => Place {
            whole: part.head.joined(music),
            head: part.head,
            holds: true,
        },
        Some(music) if apart => Place {
            whole: music,
            head: Span::new(music.start, music.start),
            holds: true,
        },
        // Where the music of parts lies between that of others, each is named where it is declared, and holds nothing.
        _ => Place {
            whole: part.head,
            head: part.head,
            holds: false,
        },
    };
    parts.iter().map(place).collect()
}

/// The sections that a part's music names.
fn sections(view: &View, part: &Part, base: usize) -> Vec<DocumentSymbol> {
    let sections = part.events().filter_map(|placed| match &placed.event.kind {
        EventKind::Section(label) => {
            let span = placed.span().shifted(base);
            let label = label.clone();
            Some(symbol(
                view,
                label,
                None,
                SymbolKind::STRING,
                span,
                span,
                Vec::new(),
            ))
        }
        _ => None,
    });
    sections.collect()
}

/// What a part is called.
fn called(part: &Part) -> String {
    part.name
        .as_ref()
        .map(|name| name.text.trim().to_owned())
        .filter(|name| !name.is_empty())
        .unwrap_or_else(|| format!("part {}", part.id))
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
