//! Findings that an instruction in the text asks to keep silent about.

use notation::Document;
use score::{Directive, DirectiveKind};

use rules::Finding;

/// Takes out the findings that the document's own instructions silence.
pub(crate) fn apply(document: &Document, findings: &mut Vec<Finding>) {
    let score = document.score();
    let directives: Vec<(usize, &Directive)> = score
        .directives
        .iter()
        .map(|directive| (0, directive))
        .chain(score.pieces.iter().flat_map(|placed| {
            placed
                .piece
                .directives
                .iter()
                .map(|directive| (placed.base, directive))
        }))
        .collect();
    let own_lines: Vec<usize> = directives
        .iter()
        .filter(|(_, directive)| directive.own_line)
        .map(|(base, directive)| line(document, base + directive.span.start))
        .collect();
    for (base, directive) in &directives {
        match &directive.kind {
            DirectiveKind::IgnoreInFile { rules } => {
                findings.retain(|finding| !names(rules, finding));
            }
            DirectiveKind::Ignore { rules } => {
                let mut at = line(document, base + directive.span.start);
                if directive.own_line {
                    // Instructions may stand one above the other; all speak of the first line below them.
                    while own_lines.contains(&at) {
                        at += 1;
                    }
                }
                findings.retain(|finding| {
                    !(names(rules, finding) && line(document, finding.span.start) == at)
                });
            }
            DirectiveKind::Part { .. } | DirectiveKind::Unknown(_) => {}
        }
    }
}

fn names(rules: &[String], finding: &Finding) -> bool {
    rules.iter().any(|rule| rule == finding.rule)
}

/// The line a byte stands in, from 0.
fn line(document: &Document, byte: usize) -> usize {
    let rope = document.rope();
    rope.byte_to_line(byte.min(rope.len_bytes()))
}
