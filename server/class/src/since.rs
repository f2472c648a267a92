//! What has become of a score's findings since the lesson began: which are left, which are fixed, which are new.

use std::collections::{HashMap, VecDeque};
use std::hash::Hash;

use engine::Severity;
use files::{Identity, Remark};

/// A finding as it is known again.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Fault {
    pub(crate) rule: String,
    pub(crate) severity: Severity,
    /// Rule, part and the bar's own music, so that it is the same wherever the bar moves.
    identity: Identity,
    /// Whom it concerns, and the bar, so that it is the same when other notes of the bar are written anew.
    place: (Option<String>, Option<u32>),
}

impl Fault {
    pub(crate) fn of(remark: &Remark, identity: Identity) -> Self {
        Self {
            rule: remark.rule.clone(),
            severity: remark.severity,
            identity,
            place: (remark.who(), remark.bar),
        }
    }
}

/// What has become of findings.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Since {
    /// For each finding there is now, whether it has come since.
    pub(crate) new: Vec<bool>,
    /// The findings that are gone.
    pub(crate) fixed: Vec<Fault>,
}

/// Compares the findings there are with those there were.
///
/// First each is looked for by its bar's own music; what is left, by its bar's number.
pub(crate) fn compare(before: &[Fault], now: &[Fault]) -> Since {
    let mut left: Vec<Option<&Fault>> = before.iter().map(Some).collect();
    let mut new = vec![true; now.len()];
    find_again(|fault| &fault.identity, &mut left, now, &mut new);
    find_again(
        |fault| (&fault.rule, &fault.place),
        &mut left,
        now,
        &mut new,
    );
    Since {
        new,
        fixed: left.into_iter().flatten().cloned().collect(),
    }
}

/// Takes out of `left` what has the same key as one of those now that are still new, one for one.
fn find_again<'a, K: Eq + Hash>(
    key: impl Fn(&'a Fault) -> K,
    left: &mut [Option<&'a Fault>],
    now: &'a [Fault],
    new: &mut [bool],
) {
    let mut places: HashMap<K, VecDeque<usize>> = HashMap::new();
    for (index, fault) in left.iter().enumerate() {
        if let Some(fault) = fault {
            places.entry(key(fault)).or_default().push_back(index);
        }
    }
    for (fault, new) in now.iter().zip(new).filter(|(_, new)| **new) {
        let found = places.get_mut(&key(fault)).and_then(VecDeque::pop_front);
        if let Some(old) = found.and_then(|index| left.get_mut(index)) {
            *old = None;
            *new = false;
        }
    }
}

#[cfg(test)]
mod tests {
    use engine::{Judged, Settings};
    use notation::{Document, Format};

    use super::super::score::Read;
    use super::*;

    const HEAD: &str =
        "X:1\nM:4/4\nL:1/4\nQ:1/4=96\nK:none\nV:1 name=\"Horn 1 in F\" transpose=-7\n";

    fn faults(bars: &str) -> Vec<Fault> {
        let document = Document::from_text(Format::Abc, &format!("{HEAD}!mf! {bars}\n"));
        Read::of(Judged::new(document, Settings::default())).faults
    }

    fn came_to(before: &str, now: &str) -> (usize, usize, usize) {
        let since = compare(&faults(before), &faults(now));
        let new = since.new.iter().filter(|new| **new).count();
        (since.new.len(), new, since.fixed.len())
    }

    #[test]
    fn findings_are_left_fixed_or_new() {
        let high = "g''4 |";
        assert_eq!(came_to("c4 | g''4 | e4 |", "c4 | g''4 | e4 |"), (1, 0, 0));
        assert_eq!(came_to("c4 | g''4 | e4 |", "c4 | g4 | e4 |"), (0, 0, 1));
        assert_eq!(came_to("c4 | g4 | e4 |", "c4 | g''4 | e4 |"), (1, 1, 0));
        assert_eq!(came_to(high, "g''4 | g''4 |").1, 1);
    }

    #[test]
    fn a_finding_is_the_same_when_its_bar_moves_or_is_written_anew() {
        // Two bars before it.
        assert_eq!(came_to("c4 | g''4 |", "c4 | d4 | e4 | g''4 |"), (1, 0, 0));
        // Another note of its bar.
        assert_eq!(came_to("c4 | g''2 e2 |", "c4 | g''2 c2 |"), (1, 0, 0));
        // Another bar, with other notes.
        assert_eq!(came_to("c4 | g''2 e2 |", "c4 | e4 | c2 g''2 |"), (1, 1, 1));
    }
}
