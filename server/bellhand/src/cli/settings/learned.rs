//! The words and names that scores mostly use.

use std::collections::BTreeMap;

use engine::Judged;
use horn::{Crook, Naming, Wording, read_name};
use reading::HornPart;

/// How often each wording and each pattern of names was met.
#[derive(Debug, Default)]
pub(super) struct Learned {
    words: BTreeMap<Wording, BTreeMap<String, usize>>,
    single: BTreeMap<String, usize>,
    shared: BTreeMap<String, usize>,
}

/// What was met most often, and how often among how many.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Mostly {
    pub(super) text: String,
    pub(super) times: usize,
    pub(super) of: usize,
}

/// Fewer show nothing of what a house does. Bellhand's own choice.
const ENOUGH: usize = 3;

impl Mostly {
    /// Whether it was met often enough, and more often than all others together.
    pub(super) const fn is_clear(&self) -> bool {
        self.of >= ENOUGH && 2 * self.times > self.of
    }
}

fn mostly(counts: &BTreeMap<String, usize>) -> Option<Mostly> {
    // Of several as often, the first in the order of letters, so that the same scores give the same file.
    let (text, times) = counts.iter().rev().max_by_key(|(_, times)| **times)?;
    Some(Mostly {
        text: text.clone(),
        times: *times,
        of: counts.values().sum(),
    })
}

impl Learned {
    /// Learns from a score.
    pub(super) fn take(&mut self, judged: &Judged) {
        for (_, reading) in judged.pieces() {
            for part in &reading.horns {
                self.words_of(part);
                self.name_of(part);
            }
        }
    }

    fn words_of(&mut self, part: &HornPart) {
        for mark in &part.marks {
            let (Some(wording), Some(words), Some(term)) = (
                Wording::of(mark.said.instruction()),
                mark.words.as_deref(),
                mark.term.clone(),
            ) else {
                continue;
            };
            let after = words.get(term.end..).unwrap_or_default();
            let mut text = words.get(term).unwrap_or_default().trim().to_owned();
            // A shortened word keeps its full stop.
            if after.starts_with('.') {
                text.push('.');
            }
            if !text.is_empty() {
                *self
                    .words
                    .entry(wording)
                    .or_default()
                    .entry(text)
                    .or_default() += 1;
            }
        }
    }

    fn name_of(&mut self, part: &HornPart) {
        let (Some(_), Some(crook)) = (part.name_span, part.crook.crook) else {
            return;
        };
        if let Some((pattern, shared)) = pattern_of(part.label.trim(), crook) {
            let counts = if shared {
                &mut self.shared
            } else {
                &mut self.single
            };
            *counts.entry(pattern).or_default() += 1;
        }
    }

    /// What is mostly printed for something.
    pub(super) fn words(&self, wording: Wording) -> Option<Mostly> {
        mostly(self.words.get(&wording)?)
    }

    /// How parts for one player, or for several, are mostly named.
    pub(super) fn names(&self, shared: bool) -> Option<Mostly> {
        mostly(if shared { &self.shared } else { &self.single })
    }
}

/// The pattern of a name with Arabic numbers and a crook, where it makes the name again, and whether it is for several.
fn pattern_of(name: &str, crook: Crook) -> Option<(String, bool)> {
    let read = read_name(name);
    let crook_range = read.crook_range.clone()?;
    let (before, after) = (name.get(..crook_range.start)?, name.get(crook_range.end..)?);
    let numbers: Vec<String> = read.players.iter().map(u8::to_string).collect();
    let shared = numbers.len() > 1;
    let place = if shared { "{numbers}" } else { "{number}" };
    let said = [", ", ".", "/", " & "].map(|between| numbers.join(between));
    let said = said
        .iter()
        .find(|said| !said.is_empty() && before.contains(said.as_str()))?;
    let pattern = format!(
        "{}{{crook}}{after}",
        before.replacen(said.as_str(), place, 1)
    );
    horn::check_pattern(&pattern, shared).ok()?;
    let naming = Naming {
        single: Some(pattern.clone()),
        shared: Some(pattern.clone()),
        ..Naming::default()
    };
    // Spelt or joined otherwise it is the same pattern still.
    naming.name(&read.players, crook).map(|_| (pattern, shared))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pattern_is_taken_from_a_name() {
        for (name, crook, pattern) in [
            (
                "Horn 2 in F",
                Crook::F,
                Some(("Horn {number} in {crook}", false)),
            ),
            (
                "Corno 1 in Mi♭",
                Crook::EFlat,
                Some(("Corno {number} in {crook}", false)),
            ),
            (
                "Horns 1.2 in F",
                Crook::F,
                Some(("Horns {numbers} in {crook}", true)),
            ),
            ("Horn in F", Crook::F, None),
            ("Horn 2", Crook::F, None),
        ] {
            let pattern = pattern.map(|(pattern, shared)| (pattern.to_owned(), shared));
            assert_eq!(pattern_of(name, crook), pattern, "{name}");
        }
    }

    #[test]
    fn the_most_frequent_is_taken() {
        let counts = |list: &[(&str, usize)]| {
            list.iter()
                .map(|(text, times)| ((*text).to_owned(), *times))
                .collect::<BTreeMap<_, _>>()
        };
        let most = mostly(&counts(&[("con sord.", 3), ("mute in", 5), ("muted", 1)])).unwrap();
        assert_eq!((most.text.as_str(), most.times, most.of), ("mute in", 5, 9));
        assert!(most.is_clear());
        assert!(!mostly(&counts(&[("a", 2), ("b", 2)])).unwrap().is_clear());
        assert!(!mostly(&counts(&[("a", 2)])).unwrap().is_clear());
        assert_eq!(mostly(&counts(&[("b", 2), ("a", 2)])).unwrap().text, "a");
        assert_eq!(mostly(&counts(&[])), None);
    }
}
