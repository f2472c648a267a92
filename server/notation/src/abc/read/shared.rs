//! What is alike within one reading of a tune, kept once: music repeats itself, and most bars end as others do.

use std::collections::HashMap;
use std::sync::Arc;

use ahash::RandomState;

use super::memory::ReadMeasure;
use super::state::Entry;

/// The measures of a tune read so far, and what is in force behind them.
#[derive(Default)]
pub(super) struct Shared {
    measures: HashMap<(u128, u128), Arc<ReadMeasure>, RandomState>,
    exits: HashMap<u128, Arc<Entry>, RandomState>,
}

impl Shared {
    /// A measure, by what stands for its text and for what is in force before it.
    pub(super) fn measure(&self, digest: u128, entry: u128) -> Option<&Arc<ReadMeasure>> {
        self.measures.get(&(digest, entry))
    }

    /// Keeps a measure whose text alone says all of it.
    pub(super) fn keep(&mut self, measure: &Arc<ReadMeasure>) {
        let key = (measure.digest, measure.entry);
        self.measures.insert(key, Arc::clone(measure));
    }

    /// What is in force behind a measure, as another ended the same.
    pub(super) fn exit(&mut self, exit: Arc<Entry>) -> Arc<Entry> {
        let known = self.exits.entry(exit.digest).or_insert(exit);
        Arc::clone(known)
    }
}
