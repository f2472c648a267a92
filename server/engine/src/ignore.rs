//! Findings that an instruction in the text asks to keep silent about, and instructions that keep nothing silent.

use std::collections::{BTreeSet, HashMap};

use notation::Document;
use reading::PieceReading;
use rules::{Check, Finding, House, IgnoreContext, Ignored, Rule};
use score::{Directive, Span};

use crate::judging;
use crate::settings::Settings;

/// The instructions of a document to keep silent, and which of the rules they name have been silenced.
pub(crate) struct Ignores<'a> {
    document: &'a Document,
    all: Vec<Ignore<'a>>,
    /// For each rule named for the whole file, where.
    everywhere: HashMap<&'a str, Vec<Place>>,
    /// For each line and rule that is named for it, where.
    on_line: HashMap<(usize, &'a str), Vec<Place>>,
}

/// An instruction and which of its names have silenced anything.
struct Ignore<'a> {
    /// Where its words stand in the document.
    span: Span,
    directive: &'a Directive,
    used: Vec<bool>,
}

/// A name in an instruction, by its place in it and that of the instruction.
type Place = (usize, usize);

impl<'a> Ignores<'a> {
    pub(crate) fn of(document: &'a Document) -> Self {
        let score = document.score();
        let of_pieces = score.pieces.iter().flat_map(|placed| {
            let directives = placed.piece.directives.iter();
            directives.map(move |directive| (placed.base, directive))
        });
        let of_file = score.directives.iter().map(|directive| (0, directive));
        let directives: Vec<(usize, &Directive)> = of_file.chain(of_pieces).collect();
        let own_lines: BTreeSet<usize> = directives
            .iter()
            .filter(|(_, directive)| directive.own_line)
            .map(|(base, directive)| line(document, base + directive.span.start))
            .collect();
        let below = lines_below(&own_lines);
        let mut ignores = Self {
            document,
            all: Vec::new(),
            everywhere: HashMap::new(),
            on_line: HashMap::new(),
        };
        for (base, directive) in directives {
            if !directive.ignored().is_empty() {
                ignores.take(base, directive, &below);
            }
        }
        ignores
    }

    fn take(&mut self, base: usize, directive: &'a Directive, below: &HashMap<usize, usize>) {
        let span = directive.span.shifted(base);
        let own = line(self.document, span.start);
        // On a line of its own it speaks of the line below, and of the instructions between, which may be spoken of too.
        let last = below.get(&own).filter(|_| directive.own_line);
        let lines = own..=last.copied().unwrap_or(own);
        let names = directive.ignored();
        for (name, rule) in names.iter().enumerate() {
            let place = (self.all.len(), name);
            if directive.is_of_file() {
                let there = self.everywhere.entry(&rule.name);
                there.or_default().push(place);
                continue;
            }
            for line in lines.clone() {
                let there = self.on_line.entry((line, &rule.name));
                there.or_default().push(place);
            }
        }
        self.all.push(Ignore {
            span,
            directive,
            used: vec![false; names.len()],
        });
    }

    /// Takes out the findings that are to be kept silent.
    pub(crate) fn apply(&mut self, findings: &mut Vec<Finding>) {
        if !self.all.is_empty() {
            findings.retain(|finding| !self.silences(finding));
        }
    }

    fn silences(&mut self, finding: &Finding) -> bool {
        let at = line(self.document, finding.span.start);
        let here = self.on_line.get(&(at, finding.rule));
        let places = here.or_else(|| self.everywhere.get(finding.rule));
        for (ignore, name) in places.into_iter().flatten() {
            let used = self.all.get_mut(*ignore);
            if let Some(used) = used.and_then(|ignore| ignore.used.get_mut(*name)) {
                *used = true;
            }
        }
        places.is_some()
    }

    /// What is said of the instructions themselves, once all else has been judged and [applied](Self::apply).
    pub(crate) fn judge(
        mut self,
        pieces: &[(usize, &PieceReading)],
        settings: &Settings,
    ) -> Vec<Finding> {
        // What cannot be read may be what was spoken of.
        if self.all.is_empty() || !is_readable(self.document) {
            return Vec::new();
        }
        let houses: Vec<_> = pieces
            .iter()
            .flat_map(|(_, reading)| &reading.horns)
            .map(|horn| settings.house_of(&horn.label))
            .collect();
        let settled = all_settled(pieces);
        let speaks = |rule: &'static Rule| {
            let in_house = |house: &House| {
                (rule.speaks_in)(house) && house.severity(rule.name, rule.severity).is_some()
            };
            in_house(&settings.house)
                && houses.iter().all(|house| in_house(house))
                && (settled || rule.rests_on.is_empty())
        };
        let mut found = Vec::new();
        for ignore in &self.all {
            let names = ignore.directive.ignored().iter().zip(&ignore.used);
            let rules: Vec<Ignored<'_>> = names
                .map(|(rule, used)| Ignored {
                    name: &rule.name,
                    span: rule.at.shifted(ignore.span.start),
                    used: *used || !rules::rule(&rule.name).is_some_and(speaks),
                })
                .collect();
            let context = IgnoreContext {
                span: ignore.span,
                in_file: ignore.directive.is_of_file(),
                rules: &rules,
            };
            for check in rules::ALL.iter().flat_map(|rule| rule.checks) {
                if let Check::Ignores(check) = check {
                    found.extend(check(&context));
                }
            }
        }
        let mut found = judging::in_house(found, &settings.house);
        self.apply(&mut found);
        found
    }
}

/// Whether all of a text could be read.
fn is_readable(document: &Document) -> bool {
    let score = document.score();
    let mut pieces = score.pieces.iter();
    score.unreadable.is_empty() && pieces.all(|placed| placed.piece.unreadable.is_empty())
}

/// Whether no crook is in doubt, so that rules which rest on crooks have said all they have to say.
fn all_settled(pieces: &[(usize, &PieceReading)]) -> bool {
    let mut horns = pieces.iter().flat_map(|(_, reading)| &reading.horns);
    horns.all(|horn| {
        let mut later = horn.crook_changes.iter();
        horn.crook.settled && later.all(|(_, crook, _)| crook.settled)
    })
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
