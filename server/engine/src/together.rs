//! Fixes tried together on one document: all at once where that goes, else as many as do.

use std::collections::BTreeMap;

use notation::TextEdit;
use rules::Fix;
use score::Span;

use crate::guard::Refused;
use crate::judged::Judged;
use crate::proven::Proven;

/// A fix with its text edits, not yet proven.
#[derive(Debug, Clone)]
pub(crate) struct Written<'a> {
    pub(crate) fix: &'a Fix,
    pub(crate) edits: Vec<TextEdit>,
}

/// What came of trying fixes together.
#[derive(Debug, Default)]
pub(crate) struct Outcome {
    /// Those proven together, by their places.
    pub(crate) accepted: Vec<usize>,
    /// What they come to.
    pub(crate) proven: Option<Proven>,
    /// Those that cannot be proven even alone. What is neither accepted nor refused is proven alone.
    pub(crate) refused: Vec<(usize, Refused)>,
}

/// Proves as many fixes as can stand beside each other; no two of their edits may meet.
pub(crate) fn prove(before: &Judged, fixes: &[&Written<'_>]) -> Outcome {
    let trial = Trial { before, fixes };
    let mut outcome = Outcome::default();
    let all: Vec<usize> = (0..fixes.len()).collect();
    trial.accept(&all, &mut outcome);
    outcome
}

struct Trial<'a> {
    before: &'a Judged,
    fixes: &'a [&'a Written<'a>],
}

impl Trial<'_> {
    /// Takes as many of the candidates in as can be proven beside those accepted: all at once where that goes, else by
    /// halves.
    fn accept(&self, candidates: &[usize], outcome: &mut Outcome) {
        let together: Vec<usize> = outcome.accepted.iter().chain(candidates).copied().collect();
        let why = match self.prove(&together) {
            Ok(proven) => {
                outcome.accepted = together;
                outcome.proven = Some(proven);
                return;
            }
            Err(why) => why,
        };
        match candidates {
            [] => {}
            [one] if outcome.accepted.is_empty() => outcome.refused.push((*one, why)),
            [one] => outcome
                .refused
                .extend(self.prove(&[*one]).err().map(|why| (*one, why))),
            many => {
                let (first, second) = many.split_at(many.len() / 2);
                self.accept(first, outcome);
                self.accept(second, outcome);
            }
        }
    }

    fn prove(&self, which: &[usize]) -> Result<Proven, Refused> {
        let mut edits: Vec<TextEdit> = Vec::new();
        let mut fixes: Vec<&Fix> = Vec::new();
        for written in which.iter().filter_map(|index| self.fixes.get(*index)) {
            edits.extend(written.edits.iter().cloned());
            fixes.push(written.fix);
        }
        edits.sort_by_key(|edit| edit.span);
        self.before.prove_edits(edits, &fixes)
    }
}

/// The places that edits take up, so that no two meet.
#[derive(Debug, Default)]
pub(crate) struct Taken {
    /// Ends by starts; none overlaps another.
    spans: BTreeMap<usize, usize>,
}

impl Taken {
    /// Takes the places of some edits up, unless one of them overlaps a place that is taken, or inserts where another
    /// does, where their order would be a guess.
    pub(crate) fn take(&mut self, edits: &[TextEdit]) -> bool {
        let meets = |span: Span| {
            let before = self.spans.range(..=span.start).next_back();
            let overlapped =
                before.is_some_and(|(start, end)| *end > span.start || *start == span.start);
            overlapped || self.spans.range(span.start..span.end).next().is_some()
        };
        if edits.iter().any(|edit| meets(edit.span)) {
            return false;
        }
        self.spans
            .extend(edits.iter().map(|edit| (edit.span.start, edit.span.end)));
        true
    }
}
