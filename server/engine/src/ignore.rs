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
    /// The line each line of instructions speaks of.
    below: HashMap<usize, usize>,
    /// The rules named for the whole file, and whether they have been silenced.
    everywhere: HashMap<&'a str, bool>,
    /// The rules named for a line, that of the music where instructions stand above it.
    on_line: HashMap<(usize, &'a str), Reach>,
}

/// An instruction.
struct Ignore<'a> {
    /// Where its words stand in the document.
    span: Span,
    /// The line they stand in.
    line: usize,
    directive: &'a Directive,
}

/// From which line on a rule is silent, and the last where it was silenced. An instruction reaches from its own line to
/// that of the music below it and all instructions, so the first of them reaches furthest, and those above the last
/// finding were of use.
struct Reach {
    first: usize,
    last_silenced: Option<usize>,
}

impl<'a> Ignores<'a> {
    pub(crate) fn of(document: &'a Document) -> Self {
        let directives = document.score().all_directives();
        let directives: Vec<(usize, Span, &Directive)> = directives
            .map(|(span, directive)| (line(document, span.start), span, directive))
            .collect();
        let own_lines: BTreeSet<usize> = directives
            .iter()
            .filter(|(_, _, directive)| directive.own_line)
            .map(|(line, ..)| *line)
            .collect();
        let mut ignores = Self {
            document,
            all: Vec::new(),
            below: lines_below(&own_lines),
            everywhere: HashMap::new(),
            on_line: HashMap::new(),
        };
        for (line, span, directive) in directives {
            if !directive.ignored().is_empty() {
                ignores.take(Ignore {
                    span,
                    line,
                    directive,
                });
            }
        }
        ignores
    }

    fn take(&mut self, ignore: Ignore<'a>) {
        for rule in ignore.directive.ignored() {
            if ignore.directive.is_of_file() {
                self.everywhere.insert(&rule.name, false);
                continue;
            }
            let spoken_of = self.spoken_of(ignore.line);
            let reach = self.on_line.entry((spoken_of, &rule.name));
            let reach = reach.or_insert(Reach {
                first: ignore.line,
                last_silenced: None,
            });
            reach.first = reach.first.min(ignore.line);
        }
        self.all.push(ignore);
    }

    /// The line that instructions in a line speak of, which is the line itself where it has music.
    fn spoken_of(&self, line: usize) -> usize {
        self.below.get(&line).copied().unwrap_or(line)
    }

    /// Takes out the findings that are to be kept silent.
    pub(crate) fn apply(&mut self, findings: &mut Vec<Finding>) {
        if !self.all.is_empty() {
            findings.retain(|finding| !self.silences(finding));
        }
    }

    fn silences(&mut self, finding: &Finding) -> bool {
        let at = line(self.document, finding.span.start);
        let here = self.on_line.get_mut(&(self.spoken_of(at), finding.rule));
        if let Some(reach) = here.filter(|reach| reach.first <= at) {
            reach.last_silenced = reach.last_silenced.max(Some(at));
            return true;
        }
        let everywhere = self.everywhere.get_mut(finding.rule);
        everywhere.map(|silenced| *silenced = true).is_some()
    }

    /// Whether an instruction has silenced a rule that it names.
    fn has_silenced(&self, ignore: &Ignore<'_>, rule: &str) -> bool {
        if ignore.directive.is_of_file() {
            return self.everywhere.get(rule) == Some(&true);
        }
        let reach = self.on_line.get(&(self.spoken_of(ignore.line), rule));
        reach.is_some_and(|reach| reach.last_silenced >= Some(ignore.line))
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
            let names = ignore.directive.ignored().iter();
            let rules: Vec<Ignored<'_>> = names
                .map(|rule| Ignored {
                    name: &rule.name,
                    span: rule.at.shifted(ignore.span.start),
                    used: self.has_silenced(ignore, &rule.name)
                        || !rules::rule(&rule.name).is_some_and(speaks),
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
