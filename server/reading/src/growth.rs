//! Where a part has grown louder since its last dynamic mark, so that the mark no longer says how loud it is.

use score::{EventKind, Kinds, MarkKind, Part};
use theory::Quarters;

/// When a part begins to grow, and when a dynamic mark settles it again, in the order of time.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Growth(Vec<(Quarters, bool)>);

/// Words that ask for more sound, in the languages of the trade, by how they begin.
const GROWING: [&str; 9] = [
    "cresc",
    "più f",
    "piu f",
    "anschwell",
    "stärker",
    "lauter",
    "augment",
    "growing",
    "louder",
];

/// Words that ask for less.
const SOFTENING: [&str; 7] = [
    "decresc", "dimin", "dim.", "calando", "morendo", "smorz", "abnehm",
];

/// Whether words ask for more sound from here on, or for less; `None` where they ask for neither.
pub(crate) fn grows(words: &str) -> Option<bool> {
    let words = words.to_lowercase();
    let any = |asking: &[&str]| asking.iter().any(|word| words.contains(word));
    if any(&SOFTENING) {
        return Some(false);
    }
    any(&GROWING).then_some(true)
}

impl Growth {
    /// Follows a part's hairpins, words and dynamics.
    pub(crate) fn of(part: &Part) -> Self {
        let mut turns: Vec<(Quarters, bool)> = Vec::new();
        let turning = Kinds::HAIRPINS.and(Kinds::WORDS).and(Kinds::DYNAMICS);
        for placed in part.events_of(turning) {
            let EventKind::Mark(mark) = &placed.event.kind else {
                continue;
            };
            let grown = match &mark.kind {
                MarkKind::HairpinStart(true) => true,
                MarkKind::Words(text) => {
                    if grows(&text.text) != Some(true) {
                        continue;
                    }
                    true
                }
                MarkKind::Dynamic(_) => false,
                _ => continue,
            };
            if turns.last().is_some_and(|(_, last)| *last) != grown {
                turns.push((placed.onset, grown));
            }
        }
        turns.sort_by_key(|(onset, _)| *onset);
        Self(turns)
    }

    /// Whether the part has been told to grow since its last dynamic mark, at a moment after the growing began.
    #[must_use]
    pub fn since_mark(&self, onset: Quarters) -> bool {
        // What begins to grow here is still as soft as the mark says; what is marked here is settled here.
        let before = self
            .0
            .partition_point(|(at, grown)| *at < onset || (*at == onset && !*grown));
        before
            .checked_sub(1)
            .and_then(|last| self.0.get(last))
            .is_some_and(|(_, grown)| *grown)
    }
}
