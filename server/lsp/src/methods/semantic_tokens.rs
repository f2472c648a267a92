//! `textDocument/semanticTokens`: the grammar's own highlighting, for editors without its parser.

use score::Span;
use tower_lsp::lsp_types::{
    Position, Range, SemanticToken, SemanticTokenType, SemanticTokens, SemanticTokensLegend,
};
use tree_sitter::{QueryCursor, StreamingIterator as _};

use crate::queries;
use crate::view::View;

/// The capture names of the highlight query and the standard token type each is shown as.
const KINDS: [(&str, SemanticTokenType); 12] = [
    ("comment", SemanticTokenType::COMMENT),
    ("string", SemanticTokenType::STRING),
    ("number", SemanticTokenType::NUMBER),
    ("keyword", SemanticTokenType::KEYWORD),
    ("operator", SemanticTokenType::OPERATOR),
    ("property", SemanticTokenType::PROPERTY),
    ("variable", SemanticTokenType::VARIABLE),
    ("attribute", SemanticTokenType::DECORATOR),
    ("constant", SemanticTokenType::ENUM_MEMBER),
    ("label", SemanticTokenType::NAMESPACE),
    ("punctuation", SemanticTokenType::OPERATOR),
    ("type", SemanticTokenType::TYPE),
];

/// The token types, each once, in the order in which tokens number them.
fn types() -> Vec<SemanticTokenType> {
    let mut types: Vec<SemanticTokenType> = Vec::new();
    for (_, kind) in KINDS {
        if !types.contains(&kind) {
            types.push(kind);
        }
    }
    types
}

/// What the numbers of tokens stand for.
pub(crate) fn legend() -> SemanticTokensLegend {
    SemanticTokensLegend {
        token_types: types(),
        token_modifiers: Vec::new(),
    }
}

fn kind_of(capture: &str, types: &[SemanticTokenType]) -> Option<u32> {
    let head = capture.split('.').next().unwrap_or(capture);
    let (_, kind) = KINDS.into_iter().find(|(name, _)| *name == head)?;
    let index = types.iter().position(|one| *one == kind)?;
    u32::try_from(index).ok()
}

/// The tokens of a document, or of a range of it.
pub(crate) fn tokens(view: &View, range: Option<Range>) -> SemanticTokens {
    let text = view.judged.document().text();
    let mut walk = view.encoding.walk(&text);
    let mut tokens = Vec::new();
    let mut last = Position::new(0, 0);
    for (span, kind) in spans(view, &text, range) {
        let (start, end) = (walk.position(span.start), walk.position(span.end));
        // The protocol wants tokens within one line.
        if start.line != end.line || start == end {
            continue;
        }
        let same_line = start.line == last.line;
        tokens.push(SemanticToken {
            delta_line: start.line - last.line,
            delta_start: start.character - if same_line { last.character } else { 0 },
            length: end.character - start.character,
            token_type: kind,
            token_modifiers_bitset: 0,
        });
        last = start;
    }
    SemanticTokens {
        result_id: None,
        data: tokens,
    }
}

/// Spans and their kinds, in order, none within another.
fn spans(view: &View, text: &str, range: Option<Range>) -> Vec<(Span, u32)> {
    let document = view.judged.document();
    let Some((tree, query)) = document.tree().zip(queries::highlights(document)) else {
        return Vec::new();
    };
    let types = types();
    let kinds: Vec<Option<u32>> = query
        .capture_names()
        .iter()
        .map(|name| kind_of(name, &types))
        .collect();
    let mut cursor = QueryCursor::new();
    if let Some(range) = range {
        cursor.set_byte_range(view.span(range).range());
    }
    let mut captures = cursor.captures(query, tree.root_node(), text.as_bytes());
    let mut spans: Vec<(Span, u32)> = Vec::new();
    while let Some((found, index)) = captures.next() {
        let capture = found.captures()[*index];
        if let Some(kind) = kinds.get(capture.index as usize).copied().flatten() {
            spans.push((Span::from(capture.node.byte_range()), kind));
        }
    }
    spans.sort_by_key(|(span, _)| (span.start, span.end));
    let mut apart: Vec<(Span, u32)> = Vec::with_capacity(spans.len());
    for (span, kind) in spans {
        match apart.last_mut() {
            // Of two kinds for one thing the later pattern is the more particular.
            Some((last, known)) if *last == span => *known = kind,
            Some((last, _)) if span.start < last.end => {}
            _ => apart.push((span, kind)),
        }
    }
    apart
}
