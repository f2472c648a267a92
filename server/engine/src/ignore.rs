//! Findings that an instruction in the text asks to keep silent about.

use std::collections::{BTreeSet, HashMap, HashSet};

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
    let own_lines: BTreeSet<usize> = directives
        .iter()
        .filter(|(_, directive)| directive.own_line)
        .map(|(base, directive)| line(document, base + directive.span.start))
        .collect();
    let mut everywhere: HashSet<&str> = HashSet::new();
    let mut on_line: HashSet<(usize, &str)> = HashSet::new();
    let below = lines_below(&own_lines);
    for (base, directive) in &directives {
        match &directive.kind {
            DirectiveKind::IgnoreInFile { rules } => {
                everywhere.extend(rules.iter().map(String::as_str));
            }
            DirectiveKind::Ignore { rules } => {
                let own = line(document, base + directive.span.start);
                let at = below
                    .get(&own)
                    .filter(|_| directive.own_line)
                    .copied()
                    .unwrap_or(own);
                on_line.extend(rules.iter().map(|rule| (at, rule.as_str())));
            }
            DirectiveKind::Part { .. }
            | DirectiveKind::Expect(_)
            | DirectiveKind::Task(_)
            | DirectiveKind::Hint(_)
            | DirectiveKind::Only { .. }
            | DirectiveKind::Unknown(_) => {}
        }
    }
    if everywhere.is_empty() && on_line.is_empty() {
        return;
    }
    findings.retain(|finding| {
        let at = line(document, finding.span.start);
        !everywhere.contains(finding.rule) && !on_line.contains(&(at, finding.rule))
    });
}

/// The line each line of instructions speaks of: the first below it that holds none.
fn lines_below(own_lines: &BTreeSet<usize>) -> HashMap<usize, usize> {
    let mut below: HashMap<usize, usize> = HashMap::with_capacity(own_lines.len());
    for own in own_lines.iter().rev() {
        let next = below.get(&(own + 1)).copied().unwrap_or(own + 1);
        below.insert(*own, next);
    }
    below
}

/// The line a byte stands in, from 0.
fn line(document: &Document, byte: usize) -> usize {
    let rope = document.rope();
    rope.byte_to_line(byte.min(rope.len_bytes()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn instructions_one_above_the_other_speak_of_the_line_below_them_all() {
        let below = lines_below(&BTreeSet::from([2, 3, 4, 7, 9]));
        let wanted = [(2, 5), (3, 5), (4, 5), (7, 8), (9, 10)];
        assert_eq!(below, HashMap::from(wanted));
    }
}
