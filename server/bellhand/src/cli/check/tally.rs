//! What was found, counted.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use engine::Severity;

use super::verdict::Verdict;
use crate::cli::arguments::FailOn;

/// How much was found in some scores.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Tally {
    /// How many scores were read.
    pub(crate) scores: usize,
    /// How many horn parts they hold.
    pub(crate) horns: usize,
    /// How many findings there are of each severity, in the order of [`Severity::ALL`].
    severities: [usize; Severity::ALL.len()],
    rules: BTreeMap<String, usize>,
    parts: BTreeMap<String, usize>,
    files: BTreeMap<String, usize>,
}

impl Tally {
    /// What is said of one score.
    pub(crate) fn of(file: &str, verdict: &Verdict) -> Self {
        let mut rules: BTreeMap<String, usize> = BTreeMap::new();
        let mut parts: BTreeMap<String, usize> = BTreeMap::new();
        for remark in &verdict.remarks {
            *rules.entry(remark.rule.clone()).or_default() += 1;
            let part = remark.who().unwrap_or_else(|| "no part".to_owned());
            *parts.entry(part).or_default() += 1;
        }
        let many = verdict.remarks.len();
        Self {
            rules,
            parts,
            files: (many > 0)
                .then(|| (file.to_owned(), many))
                .into_iter()
                .collect(),
            scores: 1,
            horns: verdict.horns,
            severities: Severity::ALL.map(|severity| {
                let remarks = verdict.remarks.iter();
                remarks.filter(|remark| remark.severity == severity).count()
            }),
        }
    }

    /// Counts more scores among these.
    pub(crate) fn add(&mut self, other: &Self) {
        self.scores += other.scores;
        self.horns += other.horns;
        for (mine, theirs) in self.severities.iter_mut().zip(other.severities) {
            *mine += theirs;
        }
        for (mine, theirs) in [
            (&mut self.rules, &other.rules),
            (&mut self.parts, &other.parts),
            (&mut self.files, &other.files),
        ] {
            for (name, count) in theirs {
                *mine.entry(name.clone()).or_default() += count;
            }
        }
    }

    /// How many findings are of a severity.
    pub(crate) fn count(&self, severity: Severity) -> usize {
        let counts = Severity::ALL.into_iter().zip(self.severities);
        counts
            .filter(|(one, _)| *one == severity)
            .map(|(_, count)| count)
            .sum()
    }

    /// Whether any finding makes the exit code 1.
    pub(crate) fn reaches(&self, fail_on: FailOn) -> bool {
        let reached = |severity: &Severity| fail_on.is_reached_by(*severity);
        Severity::ALL
            .into_iter()
            .filter(reached)
            .any(|severity| self.count(severity) > 0)
    }

    /// How many findings there are by rule, part and file, the most first.
    pub(crate) fn statistics(&self) -> String {
        let mut text = String::new();
        for (what, counts) in [
            ("rule", &self.rules),
            ("part", &self.parts),
            ("file", &self.files),
        ] {
            let _ = writeln!(text, "\nFindings by {what}:");
            let mut all: Vec<(&String, &usize)> = counts.iter().collect();
            all.sort_by_key(|(_, count)| std::cmp::Reverse(**count));
            for (name, count) in all {
                let _ = writeln!(text, "{count:>7}  {name}");
            }
        }
        text
    }

    /// How much was found, and how many horn parts were read, in a sentence.
    pub(crate) fn summary(&self) -> String {
        let counts: Vec<String> = Severity::ALL
            .into_iter()
            .rev()
            .map(|severity| (self.count(severity), severity.name()))
            .filter(|(count, _)| *count > 0)
            .map(|(count, name)| match (count, name) {
                (1, name) => format!("1 {name}"),
                (count, "information") => format!("{count} information"),
                (count, name) => format!("{count} {name}s"),
            })
            .collect();
        let parts = match self.horns {
            1 => "1 horn part".to_owned(),
            n => format!("{n} horn parts"),
        };
        if counts.is_empty() {
            format!("{parts} read; nothing to say.")
        } else {
            format!("{parts} read: {}.", counts.join(", "))
        }
    }
}
