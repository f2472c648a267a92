//! How much may be asked for at once, and how soon again.

use std::collections::HashMap;
use std::hash::Hash;
use std::sync::{Mutex, PoisonError};
use std::time::Instant;

/// The most buckets of one kind that are kept; those that are full are let go first.
const MOST: usize = 4096;

/// A bucket that so many things are taken from at once, and that fills again by one thing in so many seconds.
#[derive(Debug)]
pub(crate) struct Bucket {
    holds: f64,
    /// Seconds for one thing.
    refill: f64,
    level: Mutex<(f64, Instant)>,
}

impl Bucket {
    /// A full bucket: how much it holds, and how many seconds bring one thing more.
    pub(crate) fn new((holds, refill): (f64, f64)) -> Self {
        Self {
            holds,
            refill,
            level: Mutex::new((holds, Instant::now())),
        }
    }

    /// Whether something is left.
    pub(crate) fn has(&self) -> bool {
        self.at(Instant::now(), 0.0)
    }

    /// Takes one thing, if one is left.
    pub(crate) fn take(&self) -> bool {
        self.at(Instant::now(), 1.0)
    }

    fn at(&self, now: Instant, taken: f64) -> bool {
        let mut level = self.level.lock().unwrap_or_else(PoisonError::into_inner);
        let passed = now.saturating_duration_since(level.1).as_secs_f64();
        let filled = (level.0 + passed / self.refill).min(self.holds);
        let enough = filled >= 1.0;
        *level = (
            if enough { filled - taken } else { filled },
            now.max(level.1),
        );
        enough
    }
}

/// A bucket for each of many.
#[derive(Debug)]
pub(crate) struct Buckets<K> {
    kind: (f64, f64),
    each: Mutex<HashMap<K, Bucket>>,
}

impl<K: Eq + Hash> Buckets<K> {
    /// Buckets of a kind.
    pub(crate) fn new(kind: (f64, f64)) -> Self {
        Self {
            kind,
            each: Mutex::default(),
        }
    }

    /// Whether something is left for one.
    pub(crate) fn has(&self, of: &K) -> bool {
        let each = self.each.lock().unwrap_or_else(PoisonError::into_inner);
        each.get(of).is_none_or(Bucket::has)
    }

    /// Takes one thing of one's, if one is left.
    pub(crate) fn take(&self, of: K) -> bool {
        let mut each = self.each.lock().unwrap_or_else(PoisonError::into_inner);
        if each.len() >= MOST {
            let now = Instant::now();
            each.retain(|_, bucket| {
                bucket.at(now, 0.0);
                let level = bucket.level.lock().unwrap_or_else(PoisonError::into_inner);
                level.0 < bucket.holds
            });
        }
        let bucket = each.entry(of).or_insert_with(|| Bucket::new(self.kind));
        bucket.take()
    }
}

#[cfg(test)]
mod tests {
    use std::time::Duration;

    use super::*;

    #[test]
    fn a_bucket_is_emptied_and_fills_again() {
        let bucket = Bucket::new((3.0, 10.0));
        let now = Instant::now();
        let later = |seconds| now + Duration::from_secs(seconds);
        assert_eq!(
            [0, 0, 0, 0].map(|_| bucket.at(now, 1.0)),
            [true, true, true, false]
        );
        assert!(!bucket.at(later(9), 1.0));
        assert!(bucket.at(later(10), 1.0));
        assert!(!bucket.at(later(10), 1.0));
        // It never holds more than it can.
        assert_eq!(
            [0, 0, 0, 0].map(|_| bucket.at(later(9999), 1.0)),
            [true, true, true, false]
        );
        // A clock that goes back gives nothing.
        assert!(!bucket.at(now, 1.0));
    }

    #[test]
    fn each_has_a_bucket_of_its_own() {
        let buckets = Buckets::new((1.0, 1000.0));
        assert!(buckets.take(1) && !buckets.take(1) && !buckets.has(&1));
        assert!(buckets.has(&2) && buckets.take(2));
    }
}
