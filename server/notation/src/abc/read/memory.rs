//! What the last reading knew: whole tunes, and within a changed tune its measures.

use std::collections::HashMap;
use std::sync::Arc;

use ahash::RandomState;
use score::{Piece, RunBody, Span, Unreadable};
use theory::Quarters;

use super::fields::Defaults;
use super::state::State;

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
    measures: Arc<Measures>,
}

impl KnownTune {
    pub(super) const fn new(
        span: Span,
        defaults: Defaults,
        piece: Arc<Piece>,
        measures: Arc<Measures>,
    ) -> Self {
        Self {
            span,
            touched: false,
            defaults,
            piece,
            measures,
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

    /// The measures of the tune that stood about here.
    pub(super) fn measures_near(&self, span: Span) -> Option<Arc<Measures>> {
        self.tunes
            .iter()
            .filter(|tune| tune.span.meets(span))
            .max_by_key(|tune| tune.span.end.min(span.end) - tune.span.start.max(span.start))
            .map(|tune| Arc::clone(&tune.measures))
    }

    pub(super) fn replace(&mut self, tunes: Vec<KnownTune>) {
        self.tunes = tunes;
    }
}

/// Measures already read, by their text and all that was in force before them.
#[derive(Debug, Default)]
pub(super) struct Measures(HashMap<u128, Arc<ReadMeasure>, RandomState>);

/// A measure as it was read. Its places count from its own start, so it can stand anywhere.
#[derive(Debug, Clone)]
pub(super) struct ReadMeasure {
    pub(super) body: Arc<RunBody>,
    pub(super) exit: State,
    /// How many bars it stands for, when it is a rest of whole bars.
    pub(super) rest_bars: Option<u32>,
    pub(super) slips: Arc<[Unreadable]>,
    /// How far its longest line reaches from the start of the bar.
    pub(super) reach: Quarters,
}

impl Measures {
    pub(super) fn get(&self, key: u128) -> Option<&Arc<ReadMeasure>> {
        self.0.get(&key)
    }

    pub(super) fn keep(&mut self, key: u128, measure: Arc<ReadMeasure>) {
        self.0.insert(key, measure);
    }
}
