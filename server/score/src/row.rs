//! Things in a row, such as a part's notes, that count how many of them are looked at while the program is tested.
//!
//! A judgement must cost what is judged, not its square. In a build with debug assertions each element that is taken
//! out of a row adds one to the thread's count, and a slice of it as many as it holds, since whoever has a slice may
//! look at all of it; in other builds nothing is counted.

use std::ops::{Deref, DerefMut, Index};
use std::slice::{self, SliceIndex};
use std::sync::Arc;

#[cfg(debug_assertions)]
std::thread_local! {
    static LOOKED_AT: std::cell::Cell<u64> = const { std::cell::Cell::new(0) };
}

/// How many elements this thread has looked at so far; always 0 in a build without debug assertions.
#[must_use]
pub fn looked_at() -> u64 {
    #[cfg(debug_assertions)]
    return LOOKED_AT.with(std::cell::Cell::get);
    #[cfg(not(debug_assertions))]
    return 0;
}

/// Counts elements that are looked at.
#[inline]
pub(crate) fn look_at(count: usize) {
    #[cfg(debug_assertions)]
    LOOKED_AT.with(|looked| looked.set(looked.get().saturating_add(count as u64)));
    #[cfg(not(debug_assertions))]
    let _ = count;
}

/// A list that counts what is looked at. Its clones share it until one of them is changed.
#[derive(Debug, PartialEq, Eq)]
pub struct Row<T>(Arc<Vec<T>>);

impl<T> Clone for Row<T> {
    fn clone(&self) -> Self {
        Self(Arc::clone(&self.0))
    }
}

impl<T> Default for Row<T> {
    fn default() -> Self {
        Self(Arc::default())
    }
}

impl<T> Row<T> {
    /// How many there are; looks at none.
    #[must_use]
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The element at a place, or those in a range of places.
    #[must_use]
    pub fn get<I: SliceIndex<[T]>>(&self, index: I) -> Option<&I::Output> {
        self.0
            .get(index)
            .inspect(|found| look_at(count_of::<T, I::Output>(found)))
    }

    /// The first element.
    #[must_use]
    pub fn first(&self) -> Option<&T> {
        self.get(0)
    }

    /// The last element.
    #[must_use]
    pub fn last(&self) -> Option<&T> {
        self.get(self.len().checked_sub(1)?)
    }

    /// The elements one by one, each counted as it is taken.
    #[must_use]
    pub fn iter(&self) -> Looking<'_, T> {
        Looking(self.0.iter())
    }

    /// How many elements stand before the first for which something no longer holds, found by halving.
    #[must_use]
    pub fn partition_point(&self, mut holds: impl FnMut(&T) -> bool) -> usize {
        self.0.partition_point(|one| {
            look_at(1);
            holds(one)
        })
    }

    /// Adds an element at the end.
    pub fn push(&mut self, one: T)
    where
        T: Clone,
    {
        Arc::make_mut(&mut self.0).push(one);
    }
}

/// How many elements an output of indexing holds.
fn count_of<T, O: ?Sized>(output: &O) -> usize {
    size_of_val(output) / size_of::<T>().max(1)
}

impl<T> Deref for Row<T> {
    type Target = [T];

    fn deref(&self) -> &[T] {
        look_at(self.0.len());
        &self.0
    }
}

impl<T: Clone> DerefMut for Row<T> {
    fn deref_mut(&mut self) -> &mut [T] {
        look_at(self.0.len());
        Arc::make_mut(&mut self.0).as_mut_slice()
    }
}

impl<T, I: SliceIndex<[T]>> Index<I> for Row<T> {
    type Output = I::Output;

    fn index(&self, index: I) -> &I::Output {
        let found = &self.0[index];
        look_at(count_of::<T, I::Output>(found));
        found
    }
}

impl<T> From<Vec<T>> for Row<T> {
    fn from(list: Vec<T>) -> Self {
        Self(Arc::new(list))
    }
}

impl<T> FromIterator<T> for Row<T> {
    fn from_iter<I: IntoIterator<Item = T>>(elements: I) -> Self {
        Self(Arc::new(elements.into_iter().collect()))
    }
}

impl<'a, T> IntoIterator for &'a Row<T> {
    type Item = &'a T;
    type IntoIter = Looking<'a, T>;

    fn into_iter(self) -> Looking<'a, T> {
        self.iter()
    }
}

impl<'a, T: Clone> IntoIterator for &'a mut Row<T> {
    type Item = &'a mut T;
    type IntoIter = slice::IterMut<'a, T>;

    fn into_iter(self) -> slice::IterMut<'a, T> {
        self.iter_mut()
    }
}

impl<T: Clone> IntoIterator for Row<T> {
    type Item = T;
    type IntoIter = std::vec::IntoIter<T>;

    fn into_iter(self) -> std::vec::IntoIter<T> {
        look_at(self.0.len());
        Arc::unwrap_or_clone(self.0).into_iter()
    }
}

/// The elements of a row, one by one.
#[derive(Debug)]
pub struct Looking<'a, T>(slice::Iter<'a, T>);

impl<T> Clone for Looking<'_, T> {
    fn clone(&self) -> Self {
        Self(self.0.clone())
    }
}

impl<'a, T> Iterator for Looking<'a, T> {
    type Item = &'a T;

    fn next(&mut self) -> Option<&'a T> {
        look_at(1);
        self.0.next()
    }

    fn nth(&mut self, passed_over: usize) -> Option<&'a T> {
        // What is passed over is not looked at.
        look_at(1);
        self.0.nth(passed_over)
    }

    fn size_hint(&self) -> (usize, Option<usize>) {
        self.0.size_hint()
    }
}

impl<T> DoubleEndedIterator for Looking<'_, T> {
    fn next_back(&mut self) -> Option<Self::Item> {
        look_at(1);
        self.0.next_back()
    }

    fn nth_back(&mut self, passed_over: usize) -> Option<Self::Item> {
        look_at(1);
        self.0.nth_back(passed_over)
    }
}

impl<T> ExactSizeIterator for Looking<'_, T> {}

#[cfg(test)]
mod tests {
    use super::*;

    /// How many elements some work looks at.
    fn cost(work: impl FnOnce(&Row<u64>) -> u64) -> u64 {
        let row: Row<u64> = (0..64).collect();
        let before = looked_at();
        assert!(work(&row) < u64::MAX);
        looked_at() - before
    }

    #[test]
    fn what_is_looked_at_is_counted() {
        assert_eq!(cost(|row| row.len() as u64), 0);
        assert_eq!(
            cost(|row| row[3] + row.first().unwrap() + row.last().unwrap()),
            3
        );
        assert_eq!(cost(|row| row[10..14].iter().sum()), 4);
        assert_eq!(cost(|row| row.get(60..).unwrap().len() as u64), 4);
        // One look more finds that the row is at its end.
        assert_eq!(cost(|row| row.iter().sum()), 65);
        assert_eq!(cost(|row| row.iter().rev().take(5).sum()), 5);
        // What is skipped is not looked at, but for the last of it.
        let skipped = cost(|row| *row.iter().skip(40).find(|one| **one > 0).unwrap());
        assert!(skipped <= 2, "{skipped}");
        assert!(cost(|row| row.partition_point(|one| *one < 20) as u64) <= 7);
        // A slice may be looked at as a whole.
        assert_eq!(cost(|row| row.windows(2).count() as u64), 64);
        // A search within a loop is seen for what it is.
        let square = cost(|row| {
            row.iter()
                .filter(|one| row.iter().any(|other| other == *one))
                .count() as u64
        });
        assert!(square > 64 * 64 / 2, "{square}");
    }

    #[test]
    fn a_row_is_a_list() {
        let mut row: Row<u8> = Row::default();
        assert!(row.is_empty() && row.first().is_none() && row.last().is_none());
        row.push(1);
        let before = row.clone();
        for one in &mut row {
            *one += 1;
        }
        assert_eq!(row, Row::from(vec![2]));
        assert_eq!(before, Row::from(vec![1]));
        assert_eq!(row.into_iter().collect::<Vec<_>>(), [2]);
    }
}
