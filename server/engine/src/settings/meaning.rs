//! What settings mean, however they were said: changes in their order, and every problem.

use std::path::Path;
use std::sync::Arc;

use horn::{ClefConvention, Instrument, Level, likeliest};
use rules::{House, RuleSelector};
use score::{Courtesy, PartSelector};

use super::change::{Change, Parts, Set};
use super::keys::{KEYS, Key, Takes};
use super::named::Whom;
use super::problem::Problem;
use super::said::{Entry, Said, What};
use super::value::{
    Patterns, expected, given, key, named, naming, on_page, part, patterns, printed, severity,
    table_of, tempo, text_of, unknown,
};

/// Reads an entry of a table with these keys.
type ReadKey<P> = fn(&Entry<P>, &'static [Key]) -> Result<Change, Problem<P>>;

/// Reads what was said into changes and problems.
pub(super) struct Meaning<'a, P> {
    /// The file that is judged, counted from the folder of what was said, to be held against patterns of files.
    score: Option<&'a Path>,
    /// The names of the tables around, each with a full stop after it.
    way: String,
    /// The parts that are spoken of; all where there are none.
    parts: Option<Arc<Parts>>,
    pub(super) sets: Vec<Set<P>>,
    /// Whom it speaks of, in the words that are written, and where.
    pub(super) named: Vec<(String, Whom, P)>,
    pub(super) problems: Vec<Problem<P>>,
}

impl<'a, P: Clone> Meaning<'a, P> {
    pub(super) const fn new(score: Option<&'a Path>) -> Self {
        Self {
            score,
            way: String::new(),
            parts: None,
            sets: Vec::new(),
            named: Vec::new(),
            problems: Vec::new(),
        }
    }

    /// Reads the entries of a whole file, or of all that an editor says; `extend` has been read before.
    pub(super) fn read(&mut self, entries: &[Entry<P>]) {
        for entry in entries {
            self.entry(entry);
        }
    }

    fn entry(&mut self, entry: &Entry<P>) {
        let done = match entry.name.as_str() {
            name @ ("extend" | "where") if !self.way.is_empty() => {
                let message =
                    format!("`{name}` holds for a whole file, and cannot be set for a part of it");
                Err(Problem::new(entry.at.clone(), message))
            }
            "extend" => Ok(()),
            "level" => self.set(entry, |text| {
                text.parse::<Level>()
                    .map(Change::Level)
                    .map_err(|error| error.to_string())
            }),
            "instrument" => self.set(entry, |text| {
                text.parse::<Instrument>()
                    .map(Change::Instrument)
                    .map_err(|error| error.to_string())
            }),
            "courtesy" => self.set(entry, |text| {
                let found = named(text, &Courtesy::ALL, Courtesy::name);
                found.map(|courtesy| Change::Courtesy(courtesy, false))
            }),
            "bass-clef" => self.set(entry, |text| {
                let found = named(text, &ClefConvention::ALL, ClefConvention::name);
                found.map(Change::BassClef)
            }),
            "assumed-tempo" => {
                tempo(&entry.value).map(|tempo| self.push(entry, Change::Tempo(tempo)))
            }
            "parts" => self.parts(&entry.value),
            "page" => self.table_of_keys(entry, on_page),
            "words" => self.table_of_keys(entry, printed),
            "names" => self.table_of_keys(entry, naming),
            "rules" => self.rules(&entry.value),
            "where" => self.tables(&entry.value),
            _ => Err(unknown(entry, KEYS)),
        };
        self.problems.extend(done.err());
    }

    fn push(&mut self, entry: &Entry<P>, change: Change) {
        let name = format!("{}{}", self.way, entry.name);
        if self.parts.is_some() && !change.is_of_parts() {
            let message = format!("`{name}` cannot be set for some parts alone");
            self.problems.push(Problem::new(entry.at.clone(), message));
            return;
        }
        self.sets.push(Set {
            name,
            change,
            parts: self.parts.clone(),
            at: entry.at.clone(),
        });
    }

    /// Sets what is said by a word.
    fn set(
        &mut self,
        entry: &Entry<P>,
        read: impl FnOnce(&str) -> Result<Change, String>,
    ) -> Result<(), Problem<P>> {
        let text = text_of(&entry.value)?;
        let change = read(text).map_err(|message| {
            let meant = key(KEYS, &entry.name).and_then(|key| match key.takes {
                Takes::Choice(words, _) | Takes::Older(words) => likeliest(text, words()),
                _ => None,
            });
            Problem::new(entry.value.at.clone(), message).instead(meant.map(str::to_owned))
        })?;
        self.push(entry, change);
        Ok(())
    }

    /// Reads a table, whose name goes before those in it.
    fn within<T>(&mut self, name: &str, read: impl FnOnce(&mut Self) -> T) -> T {
        let length = self.way.len();
        self.way.push_str(name);
        self.way.push('.');
        let read = read(self);
        self.way.truncate(length);
        read
    }

    /// The name or id of a part, and what it is.
    fn parts(&mut self, value: &Said<P>) -> Result<(), Problem<P>> {
        let entries = table_of(value)?;
        self.within("parts", |meaning| {
            for entry in entries {
                match part(entry) {
                    Ok(change) => {
                        if let Change::Part(PartSelector::Named(name), ..) = &change {
                            let name = (name.clone(), Whom::Parts, entry.at.clone());
                            meaning.named.push(name);
                        }
                        meaning.push(entry, change);
                    }
                    Err(problem) => meaning.problems.push(problem),
                }
            }
        });
        Ok(())
    }

    /// A table of keys, each of which sets one thing.
    fn table_of_keys(&mut self, entry: &Entry<P>, read: ReadKey<P>) -> Result<(), Problem<P>> {
        let entries = table_of(&entry.value)?;
        let keys = match key(KEYS, &entry.name).map(|key| key.takes) {
            Some(Takes::Table(keys)) => keys,
            _ => &[],
        };
        self.within(&entry.name, |meaning| {
            for inner in entries {
                match read(inner, keys) {
                    Ok(change) => meaning.push(inner, change),
                    Err(problem) => meaning.problems.push(problem),
                }
            }
        });
        Ok(())
    }

    /// A severity for all rules, a group or a rule, or a table with a rule's severity and settings.
    fn rules(&mut self, value: &Said<P>) -> Result<(), Problem<P>> {
        let entries = table_of(value)?;
        self.within("rules", |meaning| {
            for entry in entries {
                if let Err(problem) = meaning.rule(entry) {
                    meaning.problems.push(problem);
                }
            }
        });
        Ok(())
    }

    fn rule(&mut self, entry: &Entry<P>) -> Result<(), Problem<P>> {
        let selector: RuleSelector = entry.name.parse().map_err(|message| {
            let meant = RuleSelector::meant_by(&entry.name);
            Problem::new(entry.at.clone(), message).instead(meant.map(str::to_owned))
        })?;
        let What::Table(table) = &entry.value.what else {
            let severity = severity(&entry.value)?;
            self.push(entry, Change::Severity(selector, severity));
            return Ok(());
        };
        self.within(&entry.name, |meaning| {
            for inner in table {
                if let Err(problem) = meaning.of_rule(selector, inner) {
                    meaning.problems.push(problem);
                }
            }
        });
        Ok(())
    }

    fn of_rule(&mut self, selector: RuleSelector, entry: &Entry<P>) -> Result<(), Problem<P>> {
        if entry.name == "severity" {
            let severity = severity(&entry.value)?;
            self.push(entry, Change::Severity(selector, severity));
            return Ok(());
        }
        let RuleSelector::Rule(rule) = selector else {
            let message = format!(
                "`{}` is set of one rule; of several only the severity can be",
                entry.name
            );
            return Err(Problem::new(entry.at.clone(), message));
        };
        let settings = rules::rule(rule).map_or(&[][..], |rule| rule.settings);
        let change = Change::OfRule {
            rule,
            name: entry.name.clone(),
            value: given(&entry.value),
        };
        change
            .apply_to_house(&mut House::default())
            .map_err(|message| {
                let known = settings.iter().any(|setting| setting.name == entry.name);
                let at = if known { &entry.value.at } else { &entry.at };
                let meant = likeliest(&entry.name, settings.iter().map(|setting| setting.name));
                Problem::new(at.clone(), message)
                    .instead(meant.filter(|_| !known).map(str::to_owned))
            })?;
        self.push(entry, change);
        Ok(())
    }

    /// What holds for some files or parts alone.
    fn tables(&mut self, value: &Said<P>) -> Result<(), Problem<P>> {
        let one = std::slice::from_ref(value);
        let tables = match &value.what {
            What::List(list) => list.as_slice(),
            // An editor's empty list may come as a table.
            What::Table(entries) if entries.is_empty() => &[],
            What::Table(_) => one,
            _ => return Err(expected(value, "tables, each under [[where]]")),
        };
        for table in tables {
            if let Err(problem) = self.table(table) {
                self.problems.push(problem);
            }
        }
        Ok(())
    }

    fn table(&mut self, table: &Said<P>) -> Result<(), Problem<P>> {
        let entries = table_of(table)?;
        let patterns = |name: &str, files: bool| {
            let entry = entries.iter().find(|entry| entry.name == name);
            let value = entry.map(|entry| patterns(&entry.value, files));
            value.transpose()
        };
        let (files, parts) = (patterns("files", true)?, patterns("parts", false)?);
        if files.is_none() && parts.is_none() {
            let message = "a table of `where` says for which `files` or `parts` it holds";
            return Err(Problem::new(table.at.clone(), message.to_owned()));
        }
        let mut meant = true;
        if let Some(Patterns { written, set }) = files {
            let met = self.score.map(|score| set.matches(score));
            let met = met.unwrap_or_default();
            meant = !met.is_empty();
            let each = written.into_iter().enumerate();
            self.named.extend(
                each.map(|(at, (words, place))| (words, Whom::Files(met.contains(&at)), place)),
            );
        }
        let known = self.sets.len();
        if let Some(Patterns { written, .. }) = parts.as_ref().filter(|_| meant) {
            let each = written.iter().cloned();
            self.named
                .extend(each.map(|(words, place)| (words, Whom::Parts, place)));
        }
        self.parts = parts.map(|Patterns { written, set }| {
            let patterns = written.into_iter().map(|(words, _)| words).collect();
            Arc::new(Parts { patterns, set })
        });
        self.within("where", |meaning| {
            let others = |entry: &&Entry<P>| !matches!(entry.name.as_str(), "files" | "parts");
            entries
                .iter()
                .filter(others)
                .for_each(|entry| meaning.entry(entry));
        });
        self.parts = None;
        // What it says is looked through, also where it is for other files.
        if !meant {
            self.sets.truncate(known);
        }
        Ok(())
    }
}
