//! What was found, counted.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use engine::Severity;
use files::Verdict;

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
    /// By severity, for each file.
    files: BTreeMap<String, [usize; Severity::ALL.len()]>,
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
        let severities = Severity::ALL.map(|severity| {
            let remarks = verdict.remarks.iter();
            remarks.filter(|remark| remark.severity == severity).count()
        });
        Self {
            rules,
            parts,
            files: BTreeMap::from([(file.to_owned(), severities)]),
            scores: 1,
            horns: verdict.horns.len(),
            severities,
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
        ] {
            for (name, count) in theirs {
                *mine.entry(name.clone()).or_default() += count;
            }
        }
        for (file, theirs) in &other.files {
            let mine = self.files.entry(file.clone()).or_default();
            for (mine, theirs) in mine.iter_mut().zip(theirs) {
                *mine += theirs;
            }
        }
    }

    /// How many findings each rule that was met has.
    pub(crate) fn rules(&self) -> impl Iterator<Item = (&str, usize)> {
        self.rules
            .iter()
            .map(|(rule, count)| (rule.as_str(), *count))
    }

    /// How many findings of each severity, in the order of [`Severity::ALL`], each file has.
    pub(crate) fn files(&self) -> impl Iterator<Item = (&str, &[usize; Severity::ALL.len()])> {
        self.files
            .iter()
            .map(|(file, counts)| (file.as_str(), counts))
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
        let files = self.files.iter();
        let files: BTreeMap<String, usize> = files
            .map(|(file, counts)| (file.clone(), counts.iter().sum()))
            .collect();
        for (what, counts) in [
            ("rule", &self.rules),
            ("part", &self.parts),
            ("file", &files),
        ] {
            let _ = writeln!(text, "\nFindings by {what}:");
            let found = counts.iter().filter(|(_, count)| **count > 0);
            let mut all: Vec<(&String, &usize)> = found.collect();
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
                (1, "information") => "1 for information".to_owned(),
                (1, name) => format!("1 {name}"),
                (count, "information") => format!("{count} for information"),
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
