//! The measures of a piece as they were last read, and the search for them in its next text.

use std::collections::HashMap;
use std::sync::Arc;

use ahash::RandomState;

use super::measure::ReadMeasure;

/// Measures already read, in order, each with what stands for its text and for all that was in force before it.
#[derive(Debug, Default)]
pub(super) struct Measures(Vec<(u128, Arc<ReadMeasure>)>);

impl Measures {
    /// None yet, with room for so many.
    pub(super) fn with_room(many: usize) -> Self {
        Self(Vec::with_capacity(many))
    }

    pub(super) fn keep(&mut self, key: u128, measure: Arc<ReadMeasure>) {
        self.0.push((key, measure));
    }
}

/// Looks for the measures of a text, in order, among those of the text before.
///
/// An edit mostly leaves the measures before it and after it, each in its turn; only where two have been missed one after the
/// other is the next one sought among all. They are sought one by one, since what stands for a measure holds what the one
/// before it has left in force.
pub(super) struct Search<'a> {
    known: &'a [(u128, Arc<ReadMeasure>)],
    /// Whose turn it is.
    next: usize,
    /// Whether the last one was not known.
    missed: bool,
    /// Where each stands, once that had to be found out.
    places: Option<HashMap<u128, usize, RandomState>>,
}

impl<'a> Search<'a> {
    pub(super) const fn new(known: &'a Measures) -> Self {
        Self {
            known: known.0.as_slice(),
            next: 0,
            missed: false,
            places: None,
        }
    }

    /// The next measure, if it is known.
    pub(super) fn measure(&mut self, key: u128) -> Option<&'a Arc<ReadMeasure>> {
        let in_turn = self.known.get(self.next).filter(|known| known.0 == key);
        let place = match in_turn {
            Some(_) => Some(self.next),
            None if self.missed => self.place(key),
            None => None,
        };
        self.missed = place.is_none();
        // One that was missed stands in the place of the one whose turn it was.
        self.next = place.unwrap_or(self.next) + 1;
        self.known.get(place?).map(|(_, measure)| measure)
    }

    fn place(&mut self, key: u128) -> Option<usize> {
        let known = self.known;
        let places = self.places.get_or_insert_with(|| {
            let keys = known.iter().enumerate();
            keys.map(|(place, (key, _))| (*key, place)).collect()
        });
        places.get(&key).copied()
    }
}

#[cfg(test)]
mod tests {
    use super::super::super::spot::Spots;
    use super::super::measure::{self, Measure, State};
    use super::*;

    /// Which of the old measures is found for each of the new ones.
    fn found(old: &[u128], new: &[u128]) -> Vec<Option<usize>> {
        let measure = Measure {
            text: "",
            opened: false,
            closed: false,
        };
        let mut known = Measures::with_room(old.len());
        for key in old {
            let read = measure::read(measure, 0, State::new(None), &mut Spots::default());
            known.keep(*key, Arc::new(read));
        }
        let mut search = Search::new(&known);
        let place = |one: &Arc<ReadMeasure>| known.0.iter().position(|it| Arc::ptr_eq(&it.1, one));
        let new = new.iter();
        new.map(|key| search.measure(*key).and_then(place))
            .collect()
    }

    #[test]
    fn measures_are_found_in_their_turn_and_where_they_have_gone() {
        let old = [1, 2, 3, 4, 5];
        let all = [Some(0), Some(1), Some(2), Some(3), Some(4)];
        assert_eq!(found(&old, &old), all);
        // One is another, one more, one fewer.
        assert_eq!(
            found(&old, &[1, 9, 3, 4, 5]),
            [Some(0), None, Some(2), Some(3), Some(4)]
        );
        assert_eq!(
            found(&old, &[1, 8, 9, 2, 3]),
            [Some(0), None, None, Some(1), Some(2)]
        );
        // The first that is out of its turn is read again, which costs less than to look for it.
        assert_eq!(
            found(&old, &[1, 3, 4, 5]),
            [Some(0), None, Some(3), Some(4)]
        );
        assert_eq!(found(&old, &[4, 5, 1]), [None, Some(4), None]);
        assert_eq!(found(&[], &[1, 2]), [None, None]);
        assert_eq!(found(&old, &[]), []);
    }
}
