//! What the comments of a document say of it as a lesson, and which findings are the faults it announces.

mod places;

use reading::PieceReading;
use score::{Directive, DirectiveKind, Expect, Span};

use crate::catalogue;
use crate::finding::Finding;
use crate::selector::RuleSelector;

pub use places::{FindingPlace, Places};

/// A lesson announces no more faults than this, and sets no more tasks; more are not looked at. Bellhand's own choice.
pub(crate) const MOST_SAID: usize = 500;

/// What a document's comments say of it as a lesson. Spans count from the start of the document.
#[derive(Debug, Clone, Default)]
pub struct LessonSaid<'a> {
    /// What is asked for, in the order of the text.
    pub tasks: Vec<SaidTask<'a>>,
    /// The faults that are announced, in the order of the text.
    pub expected: Vec<Expected<'a>>,
    /// What is looked at when an answer is marked; everything when it is empty.
    pub only: Vec<RuleSelector>,
    /// Hints that stand above every task.
    pub stray_hints: Vec<Span>,
    /// Where the first stands that is one too many, and not looked at.
    pub too_many: Option<Span>,
}

/// A task and the steps towards it.
#[derive(Debug, Clone)]
pub struct SaidTask<'a> {
    /// What is to be done.
    pub words: &'a str,
    /// Steps towards it, the smallest first.
    pub hints: Vec<&'a str>,
}

/// A fault that a lesson announces.
#[derive(Debug, Clone)]
pub struct Expected<'a> {
    /// The rule's name.
    pub rule: &'static str,
    /// Where it is to be found.
    pub said: &'a Expect,
    /// The piece whose comment announces it; any when that stands outside the pieces.
    pub piece: Option<usize>,
    /// The task it belongs to: the one above it, or the first when it stands above them all.
    pub task: Option<usize>,
    /// Where the comment stands.
    pub span: Span,
}

impl<'a> LessonSaid<'a> {
    /// Reads the comments of a document: those outside its pieces, and those of the pieces, each with where it begins.
    ///
    /// Announcements of rules that do not exist are left out.
    #[must_use]
    pub fn of(file: &'a [Directive], pieces: &[(usize, &'a PieceReading)]) -> Self {
        let of_file = file.iter().map(|directive| (None, 0, directive));
        let of_pieces = pieces.iter().enumerate().flat_map(|(at, (base, reading))| {
            let directives = reading.piece.directives.iter();
            directives.map(move |directive| (Some(at), *base, directive))
        });
        let mut lines: Vec<_> = of_file
            .chain(of_pieces)
            .map(|(piece, base, directive)| (directive.span.shifted(base), piece, &directive.kind))
            .collect();
        lines.sort_by_key(|(span, ..)| *span);
        let mut said = Self::default();
        for (span, piece, kind) in lines {
            said.take(span, piece, kind);
        }
        said
    }

    fn take(&mut self, span: Span, piece: Option<usize>, kind: &'a DirectiveKind) {
        let full = |count: usize| count >= MOST_SAID;
        match kind {
            DirectiveKind::Task(_) if full(self.tasks.len()) => {
                self.too_many.get_or_insert(span);
            }
            DirectiveKind::Expect(_) if full(self.expected.len()) => {
                self.too_many.get_or_insert(span);
            }
            DirectiveKind::Task(words) => self.tasks.push(SaidTask {
                words,
                hints: Vec::new(),
            }),
            DirectiveKind::Hint(words) => match self.tasks.last_mut() {
                Some(task) if full(task.hints.len()) => {
                    self.too_many.get_or_insert(span);
                }
                Some(task) => task.hints.push(words),
                None => self.stray_hints.push(span),
            },
            DirectiveKind::Expect(expect) => {
                if let Some(rule) = catalogue::rule(&expect.rule) {
                    self.expected.push(Expected {
                        rule: rule.name,
                        said: expect,
                        piece,
                        task: self.tasks.len().checked_sub(1),
                        span,
                    });
                }
            }
            DirectiveKind::Only { rules } => {
                let known = rules
                    .iter()
                    .filter_map(|name| name.parse::<RuleSelector>().ok());
                self.only.extend(known);
            }
            DirectiveKind::Part { .. }
            | DirectiveKind::Pitch(_)
            | DirectiveKind::Ignore { .. }
            | DirectiveKind::IgnoreInFile { .. }
            | DirectiveKind::Unknown(_) => {}
        }
    }

    /// The task that an announced fault belongs to.
    #[must_use]
    pub fn task_of(&self, expected: &Expected<'_>) -> Option<&SaidTask<'a>> {
        self.tasks.get(expected.task.unwrap_or(0))
    }

    /// Whether the document is a lesson at all: whether a fault is announced, or a task set.
    #[must_use]
    pub const fn is_lesson(&self) -> bool {
        !self.tasks.is_empty() || !self.expected.is_empty()
    }
}

impl Expected<'_> {
    /// Whether a finding at a place is the fault that is announced.
    #[must_use]
    pub fn is_met_by(&self, finding: &Finding, place: FindingPlace, places: &Places<'_>) -> bool {
        self.rule == finding.rule
            && self.piece.is_none_or(|piece| piece == place.piece)
            && self.said.is_in_bar(finding.bar)
            && self.said.part.as_ref().is_none_or(|selector| {
                let part = place.part;
                part.is_some_and(|part| places.selected(place.piece, selector).contains(&part))
            })
    }
}
