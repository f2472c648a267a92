//! What was found, counted.

use engine::Severity;

use super::verdict::Verdict;

/// How much was found in some scores.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Tally {
    /// How many scores were read.
    pub(crate) scores: usize,
    /// How many horn parts they hold.
    pub(crate) horns: usize,
    /// How many findings there are of each severity, in the order of [`Severity::ALL`].
    severities: [usize; Severity::ALL.len()],
}

impl Tally {
    /// What is said of one score.
    pub(crate) fn of(verdict: &Verdict) -> Self {
        Self {
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
    }

    /// How many findings are of a severity.
    pub(crate) fn count(&self, severity: Severity) -> usize {
        let counts = Severity::ALL.into_iter().zip(self.severities);
        counts
            .filter(|(one, _)| *one == severity)
            .map(|(_, count)| count)
            .sum()
    }

    /// Whether any finding is as grave as this, or graver.
    pub(crate) fn reaches(&self, severity: Severity) -> bool {
        let graver = Severity::ALL.into_iter().filter(|one| *one >= severity);
        graver.into_iter().any(|one| self.count(one) > 0)
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
