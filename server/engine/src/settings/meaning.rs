//! What settings mean, however they were said: changes in their order, and every problem.

use std::path::Path;
use std::sync::Arc;

use globset::{GlobBuilder, GlobSet, GlobSetBuilder};
use horn::{Called, ClefConvention, Instrument, Language, Level, Numerals, Wording, likeliest};
use rules::{Given, House, HouseLanguage, RuleSelector, Severity};
use score::{Courtesy, PartSelector};
use theory::{PagePitch, Tempo};

use super::change::{Change, Parts, Set};
use super::keys::{KEYS, Key, LEAVE, SIGNATURE, Takes};
use super::problem::Problem;
use super::said::{Entry, Said, What};

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
    pub(super) problems: Vec<Problem<P>>,
}

impl<'a, P: Clone> Meaning<'a, P> {
    pub(super) const fn new(score: Option<&'a Path>) -> Self {
        Self {
            score,
            way: String::new(),
            parts: None,
            sets: Vec::new(),
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
                    Ok(change) => meaning.push(entry, change),
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
            entry.map(|entry| patterns(&entry.value, files)).transpose()
        };
        let (files, parts) = (patterns("files", true)?, patterns("parts", false)?);
        if files.is_none() && parts.is_none() {
            let message = "a table of `where` says for which `files` or `parts` it holds";
            return Err(Problem::new(table.at.clone(), message.to_owned()));
        }
        let meant =
            files.is_none_or(|(_, files)| self.score.is_some_and(|score| files.is_match(score)));
        let known = self.sets.len();
        self.parts = parts.map(|(patterns, set)| Arc::new(Parts { patterns, set }));
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

/// The key of a name.
fn key(keys: &'static [Key], name: &str) -> Option<&'static Key> {
    keys.iter().find(|key| key.name == name)
}

fn unknown<P: Clone>(entry: &Entry<P>, keys: &'static [Key]) -> Problem<P> {
    let names: Vec<_> = keys.iter().map(|key| key.name).collect();
    let message = format!(
        "`{}` is not known here; expected one of {}",
        entry.name,
        names.join(", ")
    );
    let meant = likeliest(&entry.name, names);
    Problem::new(entry.at.clone(), message).instead(meant.map(str::to_owned))
}

fn expected<P: Clone>(value: &Said<P>, what: &str) -> Problem<P> {
    let message = format!("expected {what}, found {}", value.kind());
    Problem::new(value.at.clone(), message)
}

/// The one of several that a word names; the error says which words there are.
fn named<T: Copy>(text: &str, all: &[T], name: fn(T) -> &'static str) -> Result<T, String> {
    let found = all.iter().copied().find(|one| name(*one) == text);
    found.ok_or_else(|| {
        let names: Vec<_> = all
            .iter()
            .map(|one| format!("\"{}\"", name(*one)))
            .collect();
        format!(
            "`{text}` is not known here; expected {}",
            names.join(" or ")
        )
    })
}

fn tempo<P: Clone>(value: &Said<P>) -> Result<Tempo, Problem<P>> {
    match value.what {
        What::Number(rate) if (10.0..=400.0).contains(&rate) => Ok(Tempo::quarters_a_minute(rate)),
        _ => Err(Problem::new(
            value.at.clone(),
            "expected quarter notes a minute, from 10 to 400".to_owned(),
        )),
    }
}

fn part<P: Clone>(entry: &Entry<P>) -> Result<Change, Problem<P>> {
    let selector = match entry.name.as_str() {
        "*" => PartSelector::All,
        name => PartSelector::Named(name.to_owned()),
    };
    let text = text_of(&entry.value)?;
    let said = horn::read_part_said(text).map_err(|error| {
        let message = format!(
            "{error}. Write \"horn in F\", \"horn in E flat, old bass clef\", \"not a horn\" and the like"
        );
        Problem::new(entry.value.at.clone(), message)
    })?;
    Ok(Change::Part(selector, said, text.to_owned()))
}

/// How parts are written.
fn on_page<P: Clone>(entry: &Entry<P>, keys: &'static [Key]) -> Result<Change, Problem<P>> {
    let known = key(keys, &entry.name).ok_or_else(|| unknown(entry, keys))?;
    let text = text_of(&entry.value)?;
    let problem = |message| {
        let words = match known.takes {
            Takes::Choice(words, _) => words(),
            _ => Vec::new(),
        };
        let meant = likeliest(text, words).map(str::to_owned);
        Problem::new(entry.value.at.clone(), message).instead(meant)
    };
    if known.name == "courtesy" {
        let courtesy = named(text, &Courtesy::ALL, Courtesy::name).map_err(problem)?;
        return Ok(Change::Courtesy(courtesy, true));
    }
    if known.name == "pitch" {
        let words = [Some(PagePitch::Written), Some(PagePitch::Sounding), None];
        let word = |pitch: Option<PagePitch>| pitch.map_or(LEAVE, PagePitch::name);
        let pitch = named(text, &words, word).map_err(problem)?;
        return Ok(Change::Pitch(pitch));
    }
    let (rule, name) = SIGNATURE;
    let change = Change::OfRule {
        rule,
        name: name.to_owned(),
        value: Given::Text(text.to_owned()),
    };
    let tried = change.apply_to_house(&mut House::default());
    tried.map(|()| change).map_err(problem)
}

/// What is printed for something, or in which language.
fn printed<P: Clone>(entry: &Entry<P>, keys: &'static [Key]) -> Result<Change, Problem<P>> {
    if entry.name == "language" {
        let text = text_of(&entry.value)?;
        return match text {
            "part" => Ok(Change::Language(HouseLanguage::Part)),
            name => name
                .parse()
                .map(|language| Change::Language(HouseLanguage::Only(language)))
                .map_err(|message| {
                    let meant = likeliest(text, Language::ALL.map(Language::name));
                    Problem::new(entry.value.at.clone(), message).instead(meant.map(str::to_owned))
                }),
        };
    }
    if let Some(called) = Called::ALL.into_iter().find(|one| one.name() == entry.name) {
        let change = Change::Call(called, text_of(&entry.value)?.to_owned());
        let tried = change.apply_to_house(&mut House::default());
        return match tried {
            Ok(()) => Ok(change),
            Err(message) => Err(Problem::new(entry.value.at.clone(), message)),
        };
    }
    let wording = Wording::ALL
        .into_iter()
        .find(|wording| wording.name() == entry.name)
        .ok_or_else(|| unknown(entry, keys))?;
    let change = Change::Words(wording, texts_of(&entry.value)?);
    change
        .apply_to_house(&mut House::default())
        .map_err(|message| Problem::new(entry.value.at.clone(), message))?;
    Ok(change)
}

/// How parts are named.
fn naming<P: Clone>(entry: &Entry<P>, keys: &'static [Key]) -> Result<Change, Problem<P>> {
    let known = key(keys, &entry.name).ok_or_else(|| unknown(entry, keys))?;
    let text = text_of(&entry.value)?;
    let problem = |message| Problem::new(entry.value.at.clone(), message);
    match known.name {
        "single" | "shared" => {
            let shared = known.name == "shared";
            horn::check_pattern(text, shared).map_err(problem)?;
            let pattern = text.to_owned();
            Ok(if shared {
                Change::NameOfSeveral(pattern)
            } else {
                Change::NameOfOne(pattern)
            })
        }
        "numerals" => named(text, &Numerals::ALL, Numerals::name)
            .map(Change::Numerals)
            .map_err(|message| {
                let words = Numerals::ALL.map(Numerals::name);
                problem(message).instead(likeliest(text, words).map(str::to_owned))
            }),
        "e-flat" => {
            horn::check_e_flat(text).map_err(problem)?;
            Ok(Change::EFlat(text.to_owned()))
        }
        _ => Ok(Change::Between(text.to_owned())),
    }
}

fn severity<P: Clone>(value: &Said<P>) -> Result<Option<Severity>, Problem<P>> {
    let word = text_of(value)?;
    if word == "off" {
        return Ok(None);
    }
    word.parse().map(Some).map_err(|_| {
        let words = Severity::ALL.map(Severity::name).into_iter().chain(["off"]);
        Problem::new(
            value.at.clone(),
            format!("`{word}` is no severity; expected error, warning, information, hint or off"),
        )
        .instead(likeliest(word, words).map(str::to_owned))
    })
}

/// Patterns as they are written and as they are matched. Those of files count folders; those of parts take capital
/// letters for small ones.
fn patterns<P: Clone>(value: &Said<P>, files: bool) -> Result<(Vec<String>, GlobSet), Problem<P>> {
    let patterns = texts_of(value)?;
    let problem = |error: globset::Error| {
        let kind = error.kind();
        Problem::new(
            value.at.clone(),
            format!("this pattern cannot be read: {kind}"),
        )
    };
    let mut set = GlobSetBuilder::new();
    for pattern in &patterns {
        let glob = GlobBuilder::new(pattern)
            .literal_separator(files)
            .case_insensitive(!files)
            .build();
        set.add(glob.map_err(problem)?);
    }
    Ok((patterns, set.build().map_err(problem)?))
}

fn given<P>(value: &Said<P>) -> Given {
    match &value.what {
        What::Text(text) => Given::Text(text.clone()),
        What::Number(number) => Given::Number(*number),
        _ => Given::Other(value.kind().to_owned()),
    }
}

fn text_of<P: Clone>(value: &Said<P>) -> Result<&str, Problem<P>> {
    match &value.what {
        What::Text(text) => Ok(text),
        _ => Err(expected(value, "words in quotes")),
    }
}

/// Words, or a list of them.
pub(super) fn texts_of<P: Clone>(value: &Said<P>) -> Result<Vec<String>, Problem<P>> {
    match &value.what {
        What::Text(text) => Ok(vec![text.clone()]),
        What::List(list) => list
            .iter()
            .map(|one| text_of(one).map(str::to_owned))
            .collect(),
        _ => Err(expected(value, "words in quotes, or a list of them")),
    }
}

fn table_of<P: Clone>(value: &Said<P>) -> Result<&[Entry<P>], Problem<P>> {
    match &value.what {
        What::Table(entries) => Ok(entries),
        _ => Err(expected(value, "a table")),
    }
}
