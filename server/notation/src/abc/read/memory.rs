//! What the last reading knew: whole tunes, and within a changed tune its lines and their measures.

use std::collections::HashMap;
use std::sync::Arc;

use ahash::RandomState;
use score::{Piece, RunBody, Span, Unreadable};
use theory::Quarters;

use super::fields::Defaults;
use super::line::ReadLine;
use super::state::Entry;

/// The tunes of the last reading, their places kept up to date under edits.
#[derive(Debug, Clone, Default)]
pub(crate) struct Memory {
    tunes: Vec<KnownTune>,
}

/// A tune as it was read.
#[derive(Debug, Clone)]
pub(super) struct KnownTune {
    span: Span,
    /// Whether an edit has touched it since.
    touched: bool,
    defaults: Defaults,
    pub(super) piece: Arc<Piece>,
    lines: Arc<Lines>,
}

impl KnownTune {
    pub(super) const fn new(
        span: Span,
        defaults: Defaults,
        piece: Arc<Piece>,
        lines: Arc<Lines>,
    ) -> Self {
        Self {
            span,
            touched: false,
            defaults,
            piece,
            lines,
        }
    }
}

impl Memory {
    /// Notes that `old` was replaced by so many bytes.
    pub(crate) fn edited(&mut self, old: Span, new_length: usize) {
        for tune in &mut self.tunes {
            if tune.span.meets(old) {
                tune.touched = true;
                tune.span.end = tune.span.end.max(old.end) - old.len() + new_length;
                tune.span.start = tune.span.start.min(old.start);
            } else if tune.span.start >= old.end {
                tune.span.start = tune.span.start - old.len() + new_length;
                tune.span.end = tune.span.end - old.len() + new_length;
            }
        }
    }

    /// The tune at a place if neither its text nor what stands before it has changed.
    pub(super) fn unchanged(&self, span: Span, defaults: &Defaults) -> Option<KnownTune> {
        let at = self
            .tunes
            .partition_point(|tune| tune.span.start < span.start);
        self.tunes
            .get(at)
            .filter(|tune| tune.span == span && !tune.touched && tune.defaults == *defaults)
            .cloned()
    }

    /// The lines of the tune that stood about here.
    pub(super) fn lines_near(&self, span: Span) -> Arc<Lines> {
        self.tunes
            .iter()
            .filter(|tune| tune.span.meets(span))
            .max_by_key(|tune| tune.span.end.min(span.end) - tune.span.start.max(span.start))
            .map(|tune| Arc::clone(&tune.lines))
            .unwrap_or_default()
    }

    pub(super) fn replace(&mut self, tunes: Vec<KnownTune>) {
        self.tunes = tunes;
    }
}

/// A measure as it was read. Its places count from its own start, so it can stand anywhere.
#[derive(Debug, Clone)]
pub(super) struct ReadMeasure {
    /// What stands for its kind and text.
    pub(super) digest: u128,
    /// What stands for all that was in force before it.
    pub(super) entry: u128,
    pub(super) body: Arc<RunBody>,
    pub(super) exit: Arc<Entry>,
    /// How many bars it stands for, when it is a rest of whole bars.
    pub(super) rest_bars: Option<u32>,
    pub(super) slips: Arc<[Unreadable]>,
    /// How far its longest line reaches from the start of the bar.
    pub(super) reach: Quarters,
}

/// The lines of a tune's body that their text alone says all of, in order.
#[derive(Debug, Default)]
pub(super) struct Lines(Vec<Arc<ReadLine>>);

impl Lines {
    pub(super) fn keep(&mut self, line: Arc<ReadLine>) {
        self.0.push(line);
    }
}

/// Looks for the lines of a tune, in order, among those of its last reading.
///
/// An edit leaves the lines before it and those after it as they were; only what stands between them is searched.
pub(super) struct Search {
    old: Arc<Lines>,
    /// Where the next line stands among the new ones.
    next: usize,
    /// How many lines are the same at the start.
    before: usize,
    /// How many are the same at the end, and where those begin among the new ones and among the old.
    after: (usize, usize),
    lines: HashMap<u128, Arc<ReadLine>, RandomState>,
    measures: HashMap<(u128, u128), Arc<ReadMeasure>, RandomState>,
}

impl Search {
    /// `new` are what stands for each of the new lines.
    pub(super) fn new(old: Arc<Lines>, new: &[u128]) -> Self {
        let lines = &old.0;
        let same = |(old, new): &(&Arc<ReadLine>, &u128)| old.line.digest == Some(**new);
        let before = lines.iter().zip(new).take_while(same).count();
        let (old_left, new_left) = (&lines[before..], &new[before..]);
        let ends = old_left.iter().rev().zip(new_left.iter().rev());
        let ends = ends.take_while(same).count();
        let between = &old_left[..old_left.len() - ends];
        let digest = |line: &Arc<ReadLine>| Some((line.line.digest?, Arc::clone(line)));
        let measures = between
            .iter()
            .flat_map(|line| line.measures.iter().flatten());
        Self {
            next: 0,
            before,
            after: (new.len() - ends, lines.len() - ends),
            lines: between.iter().filter_map(digest).collect(),
            measures: measures
                .map(|measure| ((measure.digest, measure.entry), Arc::clone(measure)))
                .collect(),
            old,
        }
    }

    /// The next of the new lines, if it is known.
    pub(super) fn line(&mut self, digest: u128) -> Option<&Arc<ReadLine>> {
        let at = self.next;
        self.next += 1;
        let (new, old) = self.after;
        if at < self.before {
            self.old.0.get(at)
        } else if at < new {
            self.lines.get(&digest)
        } else {
            self.old.0.get(at - new + old)
        }
    }

    /// A measure of the lines that have changed, by what stands for its text and for what is in force before it.
    pub(super) fn measure(&self, digest: u128, entry: u128) -> Option<&Arc<ReadMeasure>> {
        self.measures.get(&(digest, entry))
    }
}

#[cfg(test)]
mod tests {
    use super::super::line::Line;
    use super::*;

    fn lines(digests: &[u128]) -> Arc<Lines> {
        let mut lines = Lines::default();
        for digest in digests {
            lines.keep(Arc::new(ReadLine {
                line: Arc::new(Line {
                    digest: Some(*digest),
                    items: Vec::new(),
                }),
                measures: Vec::new(),
            }));
        }
        Arc::new(lines)
    }

    /// Which of the old lines is found for each of the new ones.
    fn found(old: &[u128], new: &[u128]) -> Vec<Option<usize>> {
        let old = lines(old);
        let mut search = Search::new(Arc::clone(&old), new);
        new.iter()
            .map(|digest| {
                let found = search.line(*digest)?;
                assert_eq!(found.line.digest, Some(*digest));
                old.0.iter().position(|line| Arc::ptr_eq(line, found))
            })
            .collect()
    }

    #[test]
    fn lines_are_found_before_between_and_after_what_has_changed() {
        let old = [1, 2, 3, 4, 5];
        let all = [Some(0), Some(1), Some(2), Some(3), Some(4)];
        assert_eq!(found(&old, &old), all);
        // One is another, one more, one fewer.
        assert_eq!(
            found(&old, &[1, 2, 9, 4, 5]),
            [Some(0), Some(1), None, Some(3), Some(4)]
        );
        assert_eq!(
            found(&old, &[1, 2, 9, 3, 4, 5]),
            [Some(0), Some(1), None, Some(2), Some(3), Some(4)]
        );
        assert_eq!(found(&old, &[1, 5]), [Some(0), Some(4)]);
        // Two have changed places.
        assert_eq!(
            found(&old, &[1, 4, 3, 2, 5]),
            [Some(0), Some(3), Some(2), Some(1), Some(4)]
        );
        // The same again, which could stand before the change and after it.
        assert_eq!(found(&[7, 7], &[7, 7, 7]), [Some(0), Some(1), None]);
        assert_eq!(found(&[7, 7, 7], &[7, 7]), [Some(0), Some(1)]);
        assert_eq!(found(&[], &[1]), [None]);
        assert_eq!(found(&old, &[]), []);
    }
}
