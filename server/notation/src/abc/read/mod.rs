//! Reading ABC: syntax to score, doing again only what edits have changed.

mod barline;
mod chord_symbol;
mod comments;
mod escapes;
mod fields;
mod key;
mod line;
mod marks;
mod measure;
mod memory;
mod rhythm;
mod shared;
mod slips;
mod state;
mod syntax;
mod tempo;
#[cfg(test)]
mod tests;
mod tune;
mod voice;

use std::sync::Arc;

use score::bounds::{MOST_BARS, MOST_PIECES, is_full};
use score::{Lost, PlacedPiece, Score, Span, hold_unreadable};
use tree_sitter::{Node, Tree};

pub(crate) use key::staff_sign;
pub(crate) use memory::Memory;

use fields::Defaults;
use memory::KnownTune;

/// Reads a whole document; what the memory still knows is not read again.
pub(crate) fn read(text: &str, tree: &Tree, memory: &mut Memory) -> Score {
    let mut score = Score::default();
    let mut defaults = Defaults::default();
    let mut known = Vec::new();
    let root = tree.root_node();
    let mut bars = 0;
    let mut cursor = root.walk();
    for node in root.children(&mut cursor) {
        if is_full(bars, score.pieces.len()) {
            score.unreadable.push(slips::loose(
                Span::new(node.start_byte(), text.len()),
                &format!("this file has more than {MOST_BARS} bars or {MOST_PIECES} tunes, and is read no further"),
                "a file for each tune",
                Lost::Notes,
            ));
            break;
        }
        match node.kind() {
            "tune" => {
                let span = Span::from(node.byte_range());
                let tune = memory
                    .unchanged(span, &defaults)
                    .unwrap_or_else(|| read_tune(node, text, &defaults, memory));
                bars += tune.piece.bar_count();
                score.pieces.push(PlacedPiece {
                    base: span.start,
                    piece: Arc::clone(&tune.piece),
                });
                known.push(tune);
            }
            "file_header" => {
                let mut lines = node.walk();
                for line in node.children(&mut lines) {
                    outside(line, text, &mut defaults, &mut score);
                }
            }
            _ => outside(node, text, &mut defaults, &mut score),
        }
    }
    memory.replace(known);
    hold_unreadable(&mut score.unreadable);
    score
}

/// A line outside any tune.
fn outside(node: Node<'_>, text: &str, defaults: &mut Defaults, score: &mut Score) {
    match node.kind() {
        "comment" => score.directives.extend(comments::directive(node, text, 0)),
        // Words between tunes may say anything.
        "free_text" | "version_line" | "directive_block" => {}
        _ => {
            defaults.take(node, text);
            slips::in_field(node, text, 0, &mut score.unreadable);
        }
    }
}

fn read_tune(node: Node<'_>, text: &str, defaults: &Defaults, memory: &Memory) -> KnownTune {
    let span = Span::from(node.byte_range());
    let (piece, lines) = tune::read(node, text, defaults, &memory.lines_near(span));
    KnownTune::new(span, defaults.clone(), Arc::new(piece), lines)
}
