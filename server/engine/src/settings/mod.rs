//! What settings files and an editor say, each problem with its place.

mod change;
mod completion;
mod in_force;
mod keys;
mod load;
mod meaning;
mod named;
mod problem;
mod said;
#[cfg(test)]
mod tests;
mod value;

use std::borrow::Cow;

use horn::Level;
use reading::Casting;
use rules::{House, RuleSelector};
use serde_json::Value;

pub use change::Origin;
pub use completion::suggest;
pub use in_force::{InForce, SetOfRule};
pub use keys::{KEYS, Key, Takes};
pub use load::{Found, OnDisk, Texts, discover, load};
pub use named::{Named, Whom};
pub use problem::SettingsError;

use crate::lesson::OF_LESSONS;
use change::{Change, Set};
use meaning::Meaning;
use said::{Entry, What};

/// The name of a settings file.
pub const FILE_NAME: &str = "bellhand.toml";

/// All that can be set from outside the score.
#[derive(Debug, Clone, Default)]
pub struct Settings {
    /// The house's style, for parts that nothing else is said of.
    pub house: House,
    /// Which parts are horns, and the tempo to assume.
    pub casting: Casting,
    /// What was set, in its order.
    sets: Vec<Set<Option<Origin>>>,
    /// Whom settings files speak of.
    named: Vec<Named>,
}

impl PartialEq for Settings {
    /// Whether the same holds, wherever it was said.
    fn eq(&self, other: &Self) -> bool {
        self.house == other.house && self.casting == other.casting && self.same_for_parts(other)
    }
}

impl Settings {
    fn of(sets: Vec<Set<Option<Origin>>>) -> Self {
        let mut settings = Self {
            sets,
            ..Self::default()
        };
        for set in settings.sets.iter().filter(|set| set.parts.is_none()) {
            // Every change was tried when it was read.
            let _ = set.change.apply_to_house(&mut settings.house);
            set.change.apply_to_casting(&mut settings.casting);
        }
        settings
    }

    /// The names and patterns by which settings files say of whom they speak, each at its place. Parts of tables for other
    /// files are not among them.
    #[must_use]
    pub fn named(&self) -> &[Named] {
        &self.named
    }

    /// The same for an answer to a lesson: nothing is said of comments that are the lesson's own and that it may still
    /// hold, whose faults it puts right one after the other.
    #[must_use]
    pub fn of_answer(&self) -> Self {
        let mut settings = self.clone();
        settings
            .house
            .set_severity(RuleSelector::Rule(OF_LESSONS), None);
        settings
    }

    /// The same for players of a level, whatever is said of their level elsewhere; what is set of a rule itself holds.
    #[must_use]
    pub fn for_level(&self, level: Level) -> Self {
        let mut sets = self.sets.clone();
        sets.push(Set {
            name: "level".to_owned(),
            change: Change::Level(level),
            parts: None,
            at: None,
        });
        Self {
            named: self.named.clone(),
            ..Self::of(sets)
        }
    }

    /// The house's style for a part, by its name.
    #[must_use]
    pub fn house_of(&self, part: &str) -> Cow<'_, House> {
        let meant = |set: &&Set<_>| {
            let parts = set.parts.as_ref();
            parts.is_none_or(|parts| parts.set.is_match(part))
        };
        if !self
            .sets
            .iter()
            .any(|set| set.parts.is_some() && meant(&set))
        {
            return Cow::Borrowed(&self.house);
        }
        let mut house = House::default();
        for set in self.sets.iter().filter(meant) {
            let _ = set.change.apply_to_house(&mut house);
        }
        Cow::Owned(house)
    }

    /// Whether other settings set the same for some parts alone.
    pub(crate) fn same_for_parts(&self, other: &Self) -> bool {
        fn of_parts(
            settings: &Settings,
        ) -> impl Iterator<Item = (Option<&change::Parts>, &Change)> {
            // Once something is said of some parts, the order among all that is said matters to them.
            let any = settings.sets.iter().any(|set| set.parts.is_some());
            let sets = settings.sets.iter().filter(move |_| any);
            sets.map(|set| (set.parts.as_deref(), &set.change))
        }
        of_parts(self).eq(of_parts(other))
    }

    /// What is set for a part, or for all parts where no name is given: its name with those of its tables, and where it
    /// was set last.
    pub fn origins<'a>(
        &'a self,
        part: Option<&'a str>,
    ) -> impl Iterator<Item = (&'a str, &'a Origin)> {
        let meant = move |set: &&Set<_>| {
            let parts = set.parts.as_ref();
            parts.is_none_or(|parts| part.is_some_and(|part| parts.set.is_match(part)))
        };
        let named = |set: &'a Set<Option<Origin>>| {
            let name = set.name.strip_prefix("where.").unwrap_or(&set.name);
            Some((name, set.at.as_ref()?))
        };
        self.sets.iter().filter(meant).filter_map(named)
    }

    /// Takes over what an editor's own settings say: the same names and values as in a file, but for the names in
    /// `passed_over`, which say other things to other rooms. `section` is what the editor calls them.
    ///
    /// With it comes what is not understood, each with the way to it.
    #[must_use]
    pub fn of_editor(value: &Value, section: &str, passed_over: &[&str]) -> (Self, Vec<String>) {
        let What::Table(entries) = said::json(value, section).what else {
            return (Self::default(), Vec::new());
        };
        let ours = |entry: &Entry<String>| !passed_over.contains(&entry.name.as_str());
        let entries: Vec<_> = entries.into_iter().filter(ours).collect();
        let mut meaning = Meaning::new(None);
        meaning.read(&entries);
        let files = entries.iter().filter(|entry| entry.name == "extend");
        let errors = meaning
            .problems
            .into_iter()
            .map(|problem| format!("{}: {}", problem.at, problem.words()))
            .chain(
                files.map(|entry| format!("{}: only a settings file can extend others", entry.at)),
            )
            .collect();
        let sets = meaning.sets.into_iter().map(|set| Set {
            at: None,
            name: set.name,
            change: set.change,
            parts: set.parts,
        });
        (Self::of(sets.collect()), errors)
    }

    /// What the text of a settings file says; the files it extends are not read. With it comes what is not understood,
    /// by line and column.
    #[must_use]
    pub fn of_text(text: &str) -> (Self, Vec<String>) {
        struct Alone<'a>(&'a str);
        impl Texts for Alone<'_> {
            fn read(&self, path: &std::path::Path) -> std::io::Result<String> {
                let known = path == std::path::Path::new(FILE_NAME);
                let absent = || std::io::Error::from(std::io::ErrorKind::NotFound);
                known.then(|| self.0.to_owned()).ok_or_else(absent)
            }

            fn has(&self, path: &std::path::Path) -> bool {
                path == std::path::Path::new(FILE_NAME)
            }
        }
        let found = load(std::path::Path::new(FILE_NAME), None, &Alone(text));
        let errors = found.errors.iter().map(ToString::to_string).collect();
        (found.settings, errors)
    }
}
